using PatternCompiler.Files;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;

namespace PatternCompiler.Cli.Files;

/// <summary>Gives a build the real files. Folders of outputs are made when they are missing, and removed if the build fails.</summary>
/// <param name="context">Opens inputs and outputs.</param>
/// <param name="opened">A drawing that is open already: what comes from standard input cannot be opened twice.</param>
internal sealed class BuildFiles(CommandContext context, InputStream? opened = null) : IBuildFiles, IDisposable
{
    private readonly List<string> madeFolders = [];
    private bool committed;

    public Stream OpenDrawing(string path) => opened is not null && path == opened.Name ? opened : context.Open(path);

    /// <summary>Names are relative to the file that includes them.</summary>
    public IncludedFile? OpenInclude(string name, string from)
    {
        string folder = from == InputFile.StandardName ? "" : Path.GetDirectoryName(from) ?? "";
        string path = Path.Combine(folder, name);
        return FileSystem.FileExists(path) ? new IncludedFile(context.Open(path), path) : null;
    }

    public IBuildOutput Create(string path, bool isBinary)
    {
        if (path != OutputFiles.StandardName)
        {
            MakeFolder(path);
        }

        return new Output(context.Outputs.Create(path, isBinary), this);
    }

    public void Dispose()
    {
        if (committed)
        {
            return;
        }

        foreach (string folder in Enumerable.Reverse(madeFolders))
        {
            try
            {
                FileSystem.DeleteFolder(folder);
            }
            catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
            {
                // Somebody has put something into it meanwhile; then it is not ours to remove.
            }
        }
    }

    private void MakeFolder(string path)
    {
        string folder = Path.GetDirectoryName(FileSystem.FullPath(path))!;
        var missing = new Stack<string>();
        for (string? level = folder; level is not null && !FileSystem.FolderExists(level); level = Path.GetDirectoryName(level))
        {
            missing.Push(level);
        }

        WriteGuard.Run(path, () => FileSystem.CreateFolder(folder));
        madeFolders.AddRange(missing);
    }

    private sealed class Output(OutputFile file, BuildFiles owner) : IBuildOutput
    {
        public Stream Stream => file.Stream;

        public void Close() => file.Close();

        public void Commit()
        {
            file.Commit();
            owner.committed = true;
        }

        public void Dispose() => file.Dispose();
    }
}
