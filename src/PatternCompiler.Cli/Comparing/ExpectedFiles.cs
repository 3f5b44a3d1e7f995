using PatternCompiler.Cli.Files;
using PatternCompiler.Files;
using PatternCompiler.Jobs;

namespace PatternCompiler.Cli.Comparing;

/// <summary>A folder of expected outputs, and how it takes over new ones.</summary>
/// <param name="folder">The folder.</param>
/// <param name="context">Opens files; unfinished ones disappear.</param>
internal sealed class ExpectedFiles(string folder, CommandContext context)
{
    /// <summary>
    /// Copies files over the expected ones. All copies are complete on the disk before the first one gets its name: a
    /// source that cannot be read, or a full disk, changes no expected file.
    /// </summary>
    /// <param name="names">Names below both folders.</param>
    /// <param name="from">The folder with the new files.</param>
    public void Take(IReadOnlyList<string> names, string from)
    {
        using var files = new BuildFiles(context);
        var copies = new List<IBuildOutput>(names.Count);
        try
        {
            foreach (string name in names)
            {
                using InputStream source = context.Open(Path.Combine(from, name));
                IBuildOutput copy = files.Create(Path.Combine(folder, name), isBinary: true);
                copies.Add(copy);
                source.CopyTo(copy.Stream);

                // A folder may hold more files than a process may have open.
                copy.Close();
                context.Cancellation.ThrowIfCancellationRequested();
            }

            copies.ForEach(copy => copy.Commit());
        }
        finally
        {
            copies.ForEach(copy => copy.Dispose());
        }
    }

    /// <summary>Removes expected files, and the folders that are empty then.</summary>
    public void Remove(IReadOnlyList<string> names)
    {
        foreach (string name in names)
        {
            string path = Path.Combine(folder, name);
            WriteGuard.Run(path, () => FileSystem.Delete(path));
            for (string below = Path.GetDirectoryName(name)!; below.Length > 0; below = Path.GetDirectoryName(below)!)
            {
                string empty = Path.Combine(folder, below);
                if (FileSystem.List(empty).Count > 0)
                {
                    break;
                }

                WriteGuard.Run(empty, () => FileSystem.DeleteFolder(empty));
            }
        }
    }
}
