using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;

namespace PatternCompiler.Tests.Jobs;

public sealed class DocumentFilesTests
{
    /// <summary>Of one pattern a document may go to standard output; of write fields only what is of the whole pattern.</summary>
    [Theory]
    [InlineData("outputs: [{file: '-', format: stream}]", false)]
    [InlineData("outputs: [{file: a.stream, format: stream}, {file: '-', format: records}]", false)]
    [InlineData("outputs: [{file: a.stream, format: stream}]", true)]
    public void Write_fields_do_not_share_standard_output(string outputs, bool isFine)
    {
        Assert.Null(Record.Exception(() => Prepare($"job: a\n{outputs}\n")));
        Exception? fault = Record.Exception(() => Prepare($"job: a\n{outputs}\nfields: {{size: 80 um, margin: 1 um}}\n"));
        if (isFine)
        {
            Assert.Null(fault);
            return;
        }

        Assert.EndsWith(
            "the write fields of a job cannot all go to standard output; name a file, which every field gets with its own name added, or use 'patternc split --field'",
            Assert.IsType<CompileException>(fault).Message,
            StringComparison.Ordinal);
    }

    private static DocumentFiles Prepare(string job) => new(new BuildSettings(JobFile.Parse(job, null), DefaultFiles.Machine, DefaultFiles.Process), null!, new DiagnosticSink());
}
