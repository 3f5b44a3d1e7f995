using System.Text;

namespace PatternCompiler.Jobs.Batch;

/// <summary>
/// Writes which files were made from which, in the form that make includes and that ninja reads as a depfile: a rule
/// <c>outputs: inputs</c> per entry, and an empty rule for each input, so that a deleted one does not stop make.
/// </summary>
public static class DependencyFile
{
    /// <summary>Text of the file. Paths are relative to a folder: where make or ninja runs.</summary>
    /// <param name="results">The entries; failed ones have no rule.</param>
    /// <param name="folder">The folder.</param>
    public static string Print(IEnumerable<EntryResult> results, string folder)
    {
        var text = new StringBuilder();
        SortedSet<string> inputs = new(StringComparer.Ordinal);
        foreach (EntryResult result in results.Where(result => result.Outputs.Length > 0))
        {
            text.AppendJoin(' ', result.Outputs.Select(file => Escape(file.Path, folder))).Append(':');
            foreach (FileStamp input in result.Inputs)
            {
                string path = Escape(input.Path, folder);
                inputs.Add(path);
                text.Append(" \\\n  ").Append(path);
            }

            text.Append('\n');
        }

        foreach (string input in inputs)
        {
            text.Append('\n').Append(input).Append(":\n");
        }

        return text.ToString();
    }

    /// <summary>Make's own escapes: a backslash before blanks and number signs, a second dollar.</summary>
    private static string Escape(string path, string folder) => Path.GetRelativePath(folder, path)
        .Replace(" ", "\\ ", StringComparison.Ordinal)
        .Replace("#", "\\#", StringComparison.Ordinal)
        .Replace("$", "$$", StringComparison.Ordinal);
}
