using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Batch;
using PatternCompiler.Tests.Architecture;

namespace PatternCompiler.Tests.Jobs;

public sealed class ExampleFilesTests
{
    [Fact]
    public void Every_example_file_can_be_read()
    {
        string[] jobs = Directory.GetFiles(Path.Combine(SourceTree.Root, "examples"), "job*.yaml", SearchOption.AllDirectories);
        Assert.NotEmpty(jobs);
        foreach (Job job in jobs.Select(JobFile.Read))
        {
            _ = job.MachinePath is null ? DefaultFiles.Machine : MachineFile.Read(job.MachinePath);
            _ = job.ProcessPath is null ? DefaultFiles.Process : ProcessFile.Read(job.ProcessPath);
            Assert.All(job.Sources, source => Assert.True(File.Exists(source.Path), source.Path));
        }
    }

    [Fact]
    public void Every_example_batch_can_be_planned()
    {
        string[] batches = Directory.GetFiles(Path.Combine(SourceTree.Root, "examples"), "series*.yaml", SearchOption.AllDirectories);
        Assert.NotEmpty(batches);
        Assert.All(batches.Select(BatchFile.Read), plan => Assert.True(plan.Entries.Length > 1));
    }
}
