using System.Security.Cryptography;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

/// <summary>What becomes of every output of a build, call by call.</summary>
public sealed class BuildOutputsTests
{
    [Fact]
    public void Outputs_are_closed_once_and_all_get_their_names_at_the_end()
    {
        var files = new LoggedFiles();
        using (var outputs = new BuildOutputs(files, hashes: true))
        {
            outputs.Create("a", "figures", isBinary: true).Write([1]);
            outputs.Create("b", "stream", isBinary: false).Write([2, 2]);
            Assert.Equal<BuiltFile>([Made("a", "figures", 1), Made("b", "stream", 2, 2)], [.. outputs.Close()]);
            outputs.Create("c", "records", isBinary: true).Write([3, 3, 3]);
            Assert.Equal<BuiltFile>([Made("a", "figures", 1), Made("b", "stream", 2, 2), Made("c", "records", 3, 3, 3)], [.. outputs.Files]);
            Assert.Equal<BuiltFile>([Made("c", "records", 3, 3, 3)], [.. outputs.Close()]);
            Assert.Empty(outputs.Close());
            outputs.Create("d", "manifest", isBinary: false).Write([4]);
            Assert.Equal<BuiltFile>([Made("a", "figures", 1), Made("b", "stream", 2, 2), Made("c", "records", 3, 3, 3), Made("d", "manifest", 4)], [.. outputs.Files]);
            outputs.Commit();
        }

        Assert.Equal(
            [
                "create a binary", "create b", "flush a", "close a", "flush b", "close b", "create c binary", "flush c", "close c", "create d",
                "commit a", "commit b", "commit c", "flush d", "commit d", "dispose a", "dispose b", "dispose c", "dispose d",
            ],
            files.Log);
    }

    [Fact]
    public void Without_hashes_none_are_told() => Assert.Equal(
        new BuiltFile("a", "figures", 0), Assert.Single(WithOne(new BuildOutputs(new LoggedFiles(), hashes: false)).Files));

    private static BuildOutputs WithOne(BuildOutputs outputs)
    {
        outputs.Create("a", "figures", isBinary: false);
        return outputs;
    }

    private static BuiltFile Made(string path, string content, params byte[] bytes) => new(path, content, bytes.Length) { Hash = Convert.ToHexStringLower(SHA256.HashData(bytes)) };

    private sealed class LoggedFiles : IBuildFiles
    {
        public List<string> Log { get; } = [];

        public Stream OpenDrawing(string path) => throw new NotSupportedException();

        public IncludedFile? OpenInclude(string name, string from) => throw new NotSupportedException();

        public IBuildOutput Create(string path, bool isBinary)
        {
            Log.Add($"create {path}{(isBinary ? " binary" : "")}");
            return new Output(Log, path);
        }
    }

    private sealed class Output(List<string> log, string path) : IBuildOutput
    {
        public Stream Stream { get; } = new LoggedStream(log, path);

        public void Close() => log.Add($"close {path}");

        public void Commit() => log.Add($"commit {path}");

        public void Dispose() => log.Add($"dispose {path}");
    }

    private sealed class LoggedStream(List<string> log, string path) : MemoryStream
    {
        public override void Flush() => log.Add($"flush {path}");
    }
}
