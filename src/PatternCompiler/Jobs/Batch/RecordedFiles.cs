using PatternCompiler.FrontEnds.Common;

namespace PatternCompiler.Jobs.Batch;

/// <summary>Notes every drawing that a build opens, as it is before the reading.</summary>
internal sealed class RecordedFiles(IBuildFiles files) : IBuildFiles
{
    private readonly List<(string Path, (long Bytes, long ModifiedTicks)? Look)> opened = [];

    /// <summary>The drawings, each with its size and time before it was read.</summary>
    public IReadOnlyList<(string Path, (long Bytes, long ModifiedTicks)? Look)> Opened => opened;

    /// <inheritdoc/>
    public Stream OpenDrawing(string path)
    {
        opened.Add((path, FileStamps.Look(path)));
        return files.OpenDrawing(path);
    }

    /// <inheritdoc/>
    public IncludedFile? OpenInclude(string name, string from)
    {
        IncludedFile? file = files.OpenInclude(name, from);
        if (file is not null)
        {
            opened.Add((file.Name, FileStamps.Look(file.Name)));
        }

        return file;
    }

    /// <inheritdoc/>
    public IBuildOutput Create(string path, bool isBinary) => files.Create(path, isBinary);
}
