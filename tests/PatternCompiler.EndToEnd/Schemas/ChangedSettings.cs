using System.Buffers;
using System.Text.RegularExpressions;
using PatternCompiler.Jobs.Schemas;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.EndToEnd.Schemas;

/// <summary>Settings files that differ from a right one in one place: what people get wrong, and other ways to write what is right.</summary>
internal static partial class ChangedSettings
{
    private static readonly SearchValues<char> Marks = SearchValues.Create("{}[],#:*&'");

    private static readonly string[] Scalars =
        ["nonsense", "-1", "0", "5 furlongs", "-5 nm", "{a: 1}", "[]", "''", "5 ticks", "1.5", "12 us", "true", "'7'", " 2e1 nm", "20µm", "3 %"];

    /// <summary>All of a kind: what was changed, and the file. Values that are read in one way, as the items of a list, are changed once.</summary>
    public static IEnumerable<(string Change, string Text)> Of(SettingsSchema kind)
    {
        HashSet<(Type, string)> places = [];
        foreach ((string name, string text) in kind.Samples())
        {
            YamlNode root = YamlText.Parse(text, name);
            foreach (YamlNode node in All(root).Where(node => places.Add((node.GetType(), ItemNumber().Replace(node.Path, "[]")))))
            {
                string at = $"{name}:{node.Line} {node.Path}";
                foreach ((string change, string replacement) in Changes(node))
                {
                    yield return ($"{at}: {change}", Flow(root, node, replacement));
                }
            }
        }
    }

    private static IEnumerable<YamlNode> All(YamlNode node) => node switch
    {
        YamlMapping mapping => mapping.Entries.SelectMany(entry => All(entry.Value)).Prepend(node),
        YamlList list => list.Items.SelectMany(All).Prepend(node),
        _ => [node],
    };

    private static IEnumerable<(string Change, string Text)> Changes(YamlNode node)
    {
        switch (node)
        {
            case YamlMapping mapping:
                yield return ("a key more", Keys(mapping.Entries, node).TrimEnd('}') + (mapping.Entries.Count > 0 ? ", " : "") + "frequenz: 1}");
                foreach (YamlEntry entry in mapping.Entries)
                {
                    yield return ($"without {entry.Key}", Keys(mapping.Entries.Where(other => other != entry), node));
                    yield return ($"{entry.Key} misspelled", Keys(mapping.Entries.Select(other => other == entry ? other with { Key = other.Key + "x" } : other), node));
                }

                if (node.Path.Length > 0)
                {
                    yield return ("a word for a mapping", "nonsense");
                    yield return ("a list for a mapping", "[1, 2]");
                }

                break;
            case YamlList:
                yield return ("an empty list", "[]");
                yield return ("a mapping for a list", "{a: 1}");
                yield return ("a word for a list", "nonsense");
                break;
            default:
                foreach (string text in Scalars)
                {
                    yield return (text, text);
                }

                break;
        }
    }

    private static string Keys(IEnumerable<YamlEntry> entries, YamlNode target) =>
        $"{{{string.Join(", ", entries.Select(entry => $"{entry.Key}: {Flow(entry.Value, target, "")}"))}}}";

    /// <summary>A node in one line, with another text for one below it.</summary>
    private static string Flow(YamlNode node, YamlNode target, string replacement) => ReferenceEquals(node, target) ? replacement : node switch
    {
        YamlMapping mapping => $"{{{string.Join(", ", mapping.Entries.Select(entry => $"{entry.Key}: {Flow(entry.Value, target, replacement)}"))}}}",
        YamlList list => $"[{string.Join(", ", list.Items.Select(item => Flow(item, target, replacement)))}]",
        YamlScalar { Text: var text } => text.AsSpan().IndexOfAny(Marks) < 0 ? text : $"'{text.Replace("'", "''", StringComparison.Ordinal)}'",
        _ => throw new ArgumentOutOfRangeException(nameof(node)),
    };

    [GeneratedRegex(@"\[\d+\]")]
    private static partial Regex ItemNumber();
}
