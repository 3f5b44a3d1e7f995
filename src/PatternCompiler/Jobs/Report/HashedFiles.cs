using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Reports;

namespace PatternCompiler.Jobs.Report;

/// <summary>Notes every drawing that a build reads, with size and hash.</summary>
internal sealed class HashedFiles(IBuildFiles files) : IBuildFiles
{
    private readonly List<ReportFile> read = [];

    /// <summary>The drawings so far, by their paths, in the order in which their reading ended.</summary>
    public IReadOnlyList<ReportFile> Read => read;

    /// <inheritdoc/>
    public Stream OpenDrawing(string path) => Hashing(files.OpenDrawing(path), path, "drawing");

    /// <inheritdoc/>
    public IncludedFile? OpenInclude(string name, string from) =>
        files.OpenInclude(name, from) is { } file ? file with { Content = Hashing(file.Content, file.Name, "included drawing") } : null;

    /// <inheritdoc/>
    public IBuildOutput Create(string path, bool isBinary) => files.Create(path, isBinary);

    private HashingReadStream Hashing(Stream stream, string path, string role) =>
        new(stream, (bytes, hash) => read.Add(new ReportFile(path, role, bytes, hash)));
}
