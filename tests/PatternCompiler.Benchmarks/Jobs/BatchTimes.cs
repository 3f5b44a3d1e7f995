using System.Collections.Immutable;
using System.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Batch;

namespace PatternCompiler.Benchmarks.Jobs;

/// <summary>Times a batch of small jobs: the first build, a build with nothing to do, and one after a change of a machine that a tenth of the jobs use.</summary>
internal static class BatchTimes
{
    private const int Machines = 10;

    public static void Run(int jobs)
    {
        string folder = Directory.CreateTempSubdirectory("batch").FullName;
        try
        {
            WriteJobs(folder, jobs);
            Time("first build", folder);
            Time("nothing to do", folder);
            Time("nothing to do, again", folder);
            File.AppendAllText(Path.Combine(folder, "machine0.yaml"), "# measured again\n");
            Time("one machine changed", folder);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static void WriteJobs(string folder, int jobs)
    {
        for (int m = 0; m < Machines; m++)
        {
            File.WriteAllText(Path.Combine(folder, $"machine{m}.yaml"), DefaultFiles.MachineText.Replace("16 bit", $"number {m}", StringComparison.Ordinal));
        }

        for (int i = 0; i < jobs; i++)
        {
            File.WriteAllText(
                Path.Combine(folder, $"chip{i}.layout"),
                $"layout 1\nunit um\nlayer pads\nlayer fingers\nrect on pads from (-2, -2) to (2, 0)\nrepeat 10 as i\n  rect on fingers at (i * 0.4 - 2, 0) size (0.2, {1 + i % 7})\nend\ncircle on pads at (0, {3 + i % 11}) radius 0.5\n");
            File.WriteAllText(
                Path.Combine(folder, $"job{i}.yaml"),
                $"job: chip {i}\nmachine: machine{i % Machines}.yaml\nsources: [chip{i}.layout]\noutputs: [{{file: chip{i}.stream, format: stream}}]\n");
        }
    }

    private static void Time(string name, string folder)
    {
        var watch = Stopwatch.StartNew();
        ImmutableArray<EntryResult> results = BatchRunner.Run(
            BatchPlan.OfJobs([Path.Combine(folder, "job*.yaml")]),
            new BatchOptions("1", Path.Combine(folder, BatchOptions.RecordsFolderName), Environment.ProcessorCount),
            () => new DiskFiles(),
            null,
            CancellationToken.None);
        Console.WriteLine(
            $"{name,-22} {watch.Elapsed.TotalSeconds,8:0.000} s   built {results.Count(r => r.Outcome == EntryOutcome.Built)}, up to date {results.Count(r => r.Outcome == EntryOutcome.UpToDate)}, failed {results.Count(r => r.Outcome == EntryOutcome.Failed)}");
    }

    private sealed class DiskFiles : IBuildFiles
    {
        public Stream OpenDrawing(string path) => File.OpenRead(path);

        public IncludedFile? OpenInclude(string name, string from) => null;

        public IBuildOutput Create(string path, bool isBinary) => new DiskOutput(path);
    }

    private sealed class DiskOutput(string path) : IBuildOutput
    {
        private readonly FileStream stream = File.Create(path + ".partial");

        public Stream Stream => stream;

        public void Close() => stream.Dispose();

        public void Commit()
        {
            stream.Dispose();
            File.Move(path + ".partial", path, overwrite: true);
        }

        public void Dispose() => stream.Dispose();
    }
}
