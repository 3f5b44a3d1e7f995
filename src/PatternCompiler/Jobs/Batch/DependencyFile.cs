using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;

namespace PatternCompiler.Jobs.Batch;

/// <summary>
/// Writes which files were made from which, in the form that make includes and that ninja reads as a depfile: a rule
/// <c>outputs: inputs</c> per entry, and an empty rule for each input, so that a deleted one does not stop make.
/// </summary>
internal static class DependencyFile
{
    // Both make and ninja read the file, and neither has an escape that the other understands for these.
    // Quotes and ampersands part names for ninja until version 1.11.
    private const string Impossible = "=%;|<>*?[^`\\\"'&";

    // First words of a line that make takes for a directive.
    private static readonly HashSet<string> Directives = new(StringComparer.Ordinal)
    {
        "include", "-include", "sinclude", "load", "-load", "define", "endef", "undefine", "override", "export", "unexport", "private", "vpath",
        "ifdef", "ifndef", "ifeq", "ifneq", "else", "endif",
    };

    /// <summary>The file. Paths are relative to a folder: where make or ninja runs.</summary>
    /// <param name="results">The entries; failed ones have no rule.</param>
    /// <param name="folder">The folder.</param>
    /// <exception cref="CompileException">Make or ninja cannot carry a name.</exception>
    public static byte[] Print(IEnumerable<EntryResult> results, string folder)
    {
        var text = new StringBuilder();
        SortedSet<string> inputs = new(StringComparer.Ordinal);
        foreach (EntryResult result in results.Where(result => result.Outputs.Length > 0))
        {
            text.AppendJoin(' ', result.Outputs.Select(file => NameOf(file.Path, folder))).Append(':');
            foreach (FileStamp input in result.Inputs)
            {
                string path = NameOf(input.Path, folder);
                inputs.Add(path);
                text.Append(" \\\n  ").Append(path);
            }

            text.Append('\n');
        }

        foreach (string input in inputs)
        {
            text.Append('\n').Append(input).Append(":\n");
        }

        return FileName.Encode(text.ToString());
    }

    /// <summary>A name as both take it: a backslash before blanks, colons and number signs, a second dollar.</summary>
    internal static string Escape(string name) => name
        .Replace(" ", "\\ ", StringComparison.Ordinal)
        .Replace("#", "\\#", StringComparison.Ordinal)
        .Replace(":", "\\:", StringComparison.Ordinal)
        .Replace("$", "$$", StringComparison.Ordinal);

    /// <summary>What about a name make or ninja would take for something else; null if both can carry it.</summary>
    internal static string? FaultOf(string name)
    {
        if (name.FirstOrDefault(c => c is < ' ' or '\x7F' || Impossible.Contains(c, StringComparison.Ordinal)) is var found and not '\0')
        {
            return $"'{found}'";
        }

        return name switch
        {
            ['~', ..] => "'~' at its start",
            [.., ':' or ' '] => "a colon or blank at its end",

            // Make takes everything from a bracket that is open to a name that ends in one for members of an archive.
            [.., ')'] => "')' at its end",
            ['.', .. var rest] when rest.All(c => char.IsAsciiLetter(c) || c is '.' or '_') => "a point at its start and nothing but letters behind it",
            _ => Directives.Contains(name) ? "a word of make's own" : null,
        };
    }

    private static string NameOf(string path, string folder)
    {
        string name = FileSystem.RelativePath(folder, path);
        name = Path.DirectorySeparatorChar == '\\' ? name.Replace('\\', '/') : name;
        return FaultOf(name) is { } fault
            ? throw new CompileException(
                BatchCodes.NoDependency,
                $"make and ninja cannot read this name from a dependency file: it has {fault}",
                new SourcePlace(name),
                "rename the file, or leave out --depfile")
            : Escape(name);
    }
}
