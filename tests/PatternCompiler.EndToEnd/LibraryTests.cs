using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;

namespace PatternCompiler.EndToEnd;

/// <summary>The library as another program uses it: through what is public, with files of its own.</summary>
public sealed class LibraryTests
{
    [Fact]
    public void A_job_compiles_in_memory()
    {
        // The worked example of DEVELOPERS.md.
        Job job = JobFile.Parse("{job: pad, sources: [pad.layout], outputs: [{file: pad.stream, format: stream}]}", file: null);
        var settings = BuildSettings.Read(job);
        var files = new FilesInMemory { ["pad.layout"] = Encoding.UTF8.GetBytes("layout 1\nunit um\nlayer pads\nrect on pads at (0, 0) size (4, 2)\n") };
        var messages = new DiagnosticSink();
        BuildSummary built = BuildRunner.Run(settings, files, messages, CancellationToken.None);

        Assert.Equal(1, built.Figures.Figures);
        Assert.Equal(built.Files.Single().Bytes, files["pad.stream"].Length);
        Assert.Empty(messages.Collected);
    }

    [Fact]
    public void An_error_leaves_no_file()
    {
        Job job = JobFile.Parse("{job: pad, sources: [pad.layout], outputs: [{file: pad.stream, format: stream}]}", file: null);
        var files = new FilesInMemory { ["pad.layout"] = "layout 1\nunit um\nlayer pads\nrect on pads at (0, 0) size (900, 2)\n"u8.ToArray() };
        CompileException fault = Assert.Throws<CompileException>(() => BuildRunner.Run(BuildSettings.Read(job), files, new DiagnosticSink(), CancellationToken.None));
        Assert.Equal(Severity.Error, fault.Diagnostic.Severity);
        Assert.Equal(["pad.layout"], files.Keys);
    }

    /// <summary>What is not needed to compile a job may change without notice.</summary>
    [Fact]
    public void Few_types_are_public() => Assert.InRange(typeof(BuildRunner).Assembly.GetExportedTypes().Length, 1, 150);

    private sealed class FilesInMemory : Dictionary<string, byte[]>, IBuildFiles
    {
        public Stream OpenDrawing(string path) => new MemoryStream(this[path]);

        public IncludedFile? OpenInclude(string name, string from) => null;

        public IBuildOutput Create(string path, bool isBinary) => new Output(this, path);

        private sealed class Output(FilesInMemory files, string path) : IBuildOutput
        {
            private readonly MemoryStream bytes = new();

            public Stream Stream => bytes;

            public void Close()
            {
            }

            public void Commit() => files[path] = bytes.ToArray();

            public void Dispose()
            {
            }
        }
    }
}
