using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Reports;

namespace PatternCompiler.Jobs.Report;

/// <summary>
/// Hashes every drawing that a build reads. A reader may stop before the end of its drawing; what is left is read once the
/// drawings have proved good, and not at all after a fault.
/// </summary>
internal sealed class HashedFiles(IBuildFiles files) : IBuildFiles, IDisposable
{
    private readonly List<(string Path, string Role, HashingReadStream Stream)> opened = [];

    /// <inheritdoc/>
    public Stream OpenDrawing(string path) => Hashing(files.OpenDrawing(path), path, "drawing");

    /// <inheritdoc/>
    public IncludedFile? OpenInclude(string name, string from) =>
        files.OpenInclude(name, from) is { } file ? file with { Content = Hashing(file.Content, file.Name, "included drawing") } : null;

    /// <inheritdoc/>
    public IBuildOutput Create(string path, bool isBinary) => files.Create(path, isBinary);

    /// <summary>Size and hash of every drawing, by its path, in the order of opening.</summary>
    public IReadOnlyList<ReportFile> Finish()
    {
        var read = new List<ReportFile>();
        foreach ((string path, string role, HashingReadStream stream) in opened)
        {
            (long bytes, string hash) = stream.Finish();
            read.Add(new ReportFile(path, role, bytes, hash));
        }

        return read;
    }

    /// <summary>Closes the drawings.</summary>
    public void Dispose()
    {
        foreach ((_, _, HashingReadStream stream) in opened)
        {
            stream.Release();
        }
    }

    private HashingReadStream Hashing(Stream stream, string path, string role)
    {
        var hashing = new HashingReadStream(stream);
        opened.Add((path, role, hashing));
        return hashing;
    }
}
