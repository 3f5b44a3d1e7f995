using System.Text.RegularExpressions;

namespace PatternCompiler.Jobs.Schemas;

/// <summary>
/// The comments beside the keys of a settings file, by the keys that lead there ("fill.strategy", "sources[].file"). A key may itself
/// stand in a comment, as those do that are usually left out. Lines of a comment alone belong to the key above, or, at a key's own
/// indentation, to the key below.
/// </summary>
internal static partial class KeyComments
{
    /// <summary>Adds the comments of a file for keys that have none yet.</summary>
    public static void AddTo(Dictionary<string, string> comments, string text)
    {
        List<(int Indent, string Key)> above = [];
        List<string> leading = [];
        string? last = null;
        foreach (string line in text.ReplaceLineEndings("\n").Split('\n'))
        {
            string plain = OutOfComment().Match(line) is { Success: true } match ? match.Groups["plain"].Value : line;
            if (KeyLine().Match(plain) is { Success: true } key)
            {
                last = PathOf(key, above);
                string comment = key.Groups["comment"].Value;
                AddTo(comments, last, comment.Length > 0 ? comment : string.Join(' ', leading));
                leading.Clear();
            }
            else if (Continuation().Match(plain) is { Success: true } more && last is not null)
            {
                comments[last] = comments.TryGetValue(last, out string? begun) ? $"{begun} {more.Groups["comment"].Value}" : more.Groups["comment"].Value;
            }
            else
            {
                last = null;
                if (Sentence().Match(line) is { Success: true } sentence)
                {
                    leading.Add(sentence.Groups["comment"].Value);
                }
                else
                {
                    leading.Clear();
                }
            }
        }
    }

    /// <summary>The comment of a key; null if there is none. Keys that users choose are * in the path, and any key in the file.</summary>
    public static string? Find(Dictionary<string, string> comments, string path)
    {
        if (comments.TryGetValue(path, out string? comment) || !path.Contains(".*", StringComparison.Ordinal))
        {
            return comment;
        }

        string[] wanted = path.Split('.');
        return comments.FirstOrDefault(entry => entry.Key.Split('.') is { } keys && keys.Length == wanted.Length && keys.Zip(wanted).All(pair => pair.Second is "*" || pair.First == pair.Second)).Value;
    }

    private static void AddTo(Dictionary<string, string> comments, string path, string comment)
    {
        if (comment.Length > 0)
        {
            comments.TryAdd(path, comment);
        }
    }

    /// <summary>The keys further out that this one stands in, and it. A dash is a step further in.</summary>
    private static string PathOf(Match key, List<(int Indent, string Key)> above)
    {
        int indent = key.Groups["indent"].Length;
        above.RemoveAll(outer => outer.Indent >= indent);
        if (key.Groups["dash"].Success && above.Count > 0 && !above[^1].Key.EndsWith("[]", StringComparison.Ordinal))
        {
            above[^1] = (above[^1].Indent, above[^1].Key + "[]");
        }

        above.Add((indent + key.Groups["dash"].Length, key.Groups["key"].Value));
        return string.Join('.', above.Select(outer => outer.Key));
    }

    [GeneratedRegex(@"^# (?<plain> *(- )?[a-z_0-9]+:( .*)?| {20,}#.*)$")]
    private static partial Regex OutOfComment();

    [GeneratedRegex(@"^(?<indent> *)(?<dash>- )?(?<key>[a-z_0-9]+):(?<value>( [^#]*)?)(# ?(?<comment>.*))?$")]
    private static partial Regex KeyLine();

    [GeneratedRegex(@"^ {20,}# ?(?<comment>.*)$")]
    private static partial Regex Continuation();

    [GeneratedRegex(@"^ *# (?<comment>.*)$")]
    private static partial Regex Sentence();
}
