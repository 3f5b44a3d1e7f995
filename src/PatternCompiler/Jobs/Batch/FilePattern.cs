using System.IO.Enumeration;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;

namespace PatternCompiler.Jobs.Batch;

/// <summary>File names with * and ? for parts of a name and ** for any folders.</summary>
internal static class FilePattern
{
    private static readonly char[] Wildcards = ['*', '?'];

    /// <summary>The files that a pattern matches, in the order of their names; hidden ones need their dot written.</summary>
    /// <param name="pattern">The pattern.</param>
    /// <param name="folder">What it is relative to; "" for the current folder.</param>
    /// <exception cref="CompileException">Nothing matches.</exception>
    public static IReadOnlyList<string> Expand(string pattern, string folder)
    {
        string full = Path.Combine(folder, pattern);
        if (pattern.IndexOfAny(Wildcards) < 0)
        {
            return FileSystem.FileExists(full) ? [full] : throw NoMatch(full, "there is no such job file", "check the path");
        }

        string[] segments = full.Split('/', Path.DirectorySeparatorChar);
        int first = Array.FindIndex(segments, segment => segment.IndexOfAny(Wildcards) >= 0);
        string start = string.Join(Path.DirectorySeparatorChar, segments[..first]);
        List<string> found = [];
        Collect(start.Length == 0 && first > 0 ? Path.DirectorySeparatorChar.ToString() : start, segments.AsSpan(first), found);
        found.Sort(StringComparer.Ordinal);
        return found.Count > 0 ? found.Distinct(StringComparer.Ordinal).ToArray() : throw NoMatch(full, "no file matches this pattern", "check the folder and the ending");
    }

    private static void Collect(string folder, ReadOnlySpan<string> segments, List<string> found)
    {
        string place = folder.Length == 0 ? "." : folder;
        if (!FileSystem.FolderExists(place))
        {
            return;
        }

        string segment = segments[0];
        if (segment == "**")
        {
            if (segments.Length > 1)
            {
                Collect(folder, segments[1..], found);
            }

            foreach (FolderEntry child in FileSystem.List(place).Where(child => child.IsFolder && !child.Name.StartsWith('.')))
            {
                Collect(Path.Combine(folder, child.Name), segments, found);
            }

            return;
        }

        foreach (FolderEntry entry in FileSystem.List(place))
        {
            if (!FileSystemName.MatchesSimpleExpression(segment, entry.Name, ignoreCase: false)
                || (entry.Name.StartsWith('.') && !segment.StartsWith('.')))
            {
                continue;
            }

            string path = Path.Combine(folder, entry.Name);
            if (segments.Length == 1 && !entry.IsFolder)
            {
                found.Add(path);
            }
            else if (segments.Length > 1 && entry.IsFolder)
            {
                Collect(path, segments[1..], found);
            }
        }
    }

    private static CompileException NoMatch(string path, string message, string fix) =>
        new(BatchCodes.NoMatch, message, new SourcePlace(path), fix);
}
