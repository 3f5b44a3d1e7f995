using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;

namespace PatternCompiler.Oracles.Lab;

/// <summary>Drawings from disk; nothing is written.</summary>
internal sealed class DiskFiles : IBuildFiles
{
    public Stream OpenDrawing(string path) => File.OpenRead(path);

    public IncludedFile? OpenInclude(string name, string from) => null;

    public IBuildOutput Create(string path, bool isBinary) => throw new NotSupportedException();
}
