using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

/// <summary>Drawings and outputs of a build in memory.</summary>
internal sealed class MemoryFiles : IBuildFiles
{
    private readonly Dictionary<string, byte[]> drawings = [];

    /// <summary>Outputs that were committed.</summary>
    public Dictionary<string, byte[]> Written { get; } = [];

    /// <summary>Outputs that were started and discarded.</summary>
    public List<string> Discarded { get; } = [];

    /// <summary>Outputs that were committed without having been closed, as those of a build are that makes few.</summary>
    public List<string> CommittedOpen { get; } = [];

    /// <summary>Outputs that were asked for, and whether as binary ones.</summary>
    public Dictionary<string, bool> IsBinary { get; } = [];

    public MemoryFiles With(string path, string drawing) => With(path, Encoding.UTF8.GetBytes(drawing));

    public MemoryFiles With(string path, byte[] drawing)
    {
        drawings[path] = drawing;
        return this;
    }

    public Stream OpenDrawing(string path) => drawings.TryGetValue(path, out byte[]? bytes)
        ? new MemoryStream(bytes)
        : throw new CompileException(JobCodes.CannotRead, "there is no such drawing", new SourcePlace(path));

    public IncludedFile? OpenInclude(string name, string from) =>
        drawings.TryGetValue(name, out byte[]? bytes) ? new IncludedFile(new MemoryStream(bytes), name) : null;

    public IBuildOutput Create(string path, bool isBinary)
    {
        IsBinary[path] = isBinary;
        return new Output(this, path);
    }

    private sealed class Output(MemoryFiles files, string path) : IBuildOutput
    {
        private readonly MemoryStream stream = new();
        private bool isClosed;
        private bool isCommitted;

        public Stream Stream => stream;

        public void Close()
        {
            Assert.False(isClosed, $"{path} is closed twice");
            isClosed = true;
            stream.Dispose();
        }

        public void Commit()
        {
            if (!isClosed)
            {
                files.CommittedOpen.Add(path);
            }

            files.Written.Add(path, stream.ToArray());
            isCommitted = true;
        }

        public void Dispose()
        {
            if (!isCommitted)
            {
                files.Discarded.Add(path);
            }
        }
    }
}
