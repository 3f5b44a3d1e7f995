using System.Text;
using System.Text.Json;
using System.Text.RegularExpressions;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Oracles.Jobs;

/// <summary>
/// Settings files, changed at random, as we read them and as PyYAML does (Debian package python3-yaml, a binding of libyaml).
/// Where both accept a text, they read the same; where PyYAML alone does, the reason is in the list below.
/// </summary>
public sealed class YamlOracleTests
{
    private const int Texts = 10_000;

    /// <summary>What we refuse although PyYAML does not, by our message or, where one message stands for much, by the text.</summary>
    private static readonly (string Message, string Reason)[] RefusedOnPurpose =
    [
        ("the key '.*' is given twice", "YAML 1.2.2, 3.2.1.1: the keys of a mapping are unique; PyYAML looks at that later or never"),
        ("tags such as '.*' are not used here", "settings have no types of their own"),
        ("a key must be a plain word", "no setting has a list, a mapping or an alias as its key"),
        ("a key is missing here", "no setting has an empty key"),
        ("a second document starts here", "a file is one document"),
        ("the file is empty", "a file without settings is another file than was meant"),
        ("nested more than 32 levels deep", "no setting is, and depth costs stack"),
        ("refers to an anchor that is not complete above it", "a setting cannot hold itself"),
        ("the character U\\+(FEFF|2028|2029|0085), which no editor shows", "YAML 1.1 and 1.2 read them differently, and nobody sees them"),
    ];

    /// <summary>The same by the text: what is no YAML, and what no setting is.</summary>
    private static readonly (string Text, string Reason)[] RefusedTexts =
    [
        (@"(^|\n)[|>]", "YAML 1.2.2, 8.1, production 199: the mark of a block of text stands further right than its key"),
        (@"[,\[\]{}""'|>]#", "YAML 1.2.2, 6.6 and production 126: a comment has a blank before it, and no word begins with #"),
        (@"(^|\n) *:\S", "no key begins with a colon"),
        (@"![^\s,]*,", "a tag ends before a comma, and settings have no types of their own"),
        (@"[{,][^\n{}]*: *&\w+ [^\n]*[,}]", "YAML 1.2.2, 7.4.2 allows an anchor before a word within braces, the library does not; no setting needs one there"),
        (@"[,\[{:] *-[,\[\]{}]", "YAML 1.2.2, production 126: a word begins with - only where a character of a word follows"),
    ];

    private static readonly string[] Marks =
    [
        "[", "]", "{", "}", ",", ":", " ", "\n", "\t", "- ", ": ", "#", " #", "'", "\"", "&a ", "*a", "|", "|\n", ">", "? ", "!", "%", "@", "`", "---\n", "...\n",
        "\\", "\r\n", "<<", "~", "null", "é", "\u2028", "\uFEFF", "!!str ", "1e5", "0x1f", "\n\n", "  ", "-", "a: b\n", "- : a\n",
    ];

    [PyYamlFact]
    public void Settings_changed_at_random_are_read_as_by_PyYAML()
    {
        string[] texts = [.. Changed(new Random(1))];
        string[] theirs = ReadByPyYaml(texts);
        int both = 0;
        Dictionary<string, int> reasons = [];
        List<string> differences = [];
        for (int i = 0; i < texts.Length; i++)
        {
            string shown = JsonSerializer.Serialize(texts[i]);
            try
            {
                string ours = Printed(YamlText.Parse(YamlText.Load(new MemoryStream(Encoding.UTF8.GetBytes(texts[i])), "a.yaml"), "a.yaml"));
                if (theirs[i] != "null")
                {
                    using var tree = JsonDocument.Parse(theirs[i]);
                    if (ours != Printed(tree.RootElement))
                    {
                        differences.Add($"{shown}\nis read as\n{ours}\nby PyYAML as\n{Printed(tree.RootElement)}");
                    }

                    both++;
                }
            }
            catch (CompileException refusal) when (theirs[i] != "null")
            {
                string? reason = RefusedOnPurpose.FirstOrDefault(entry => Regex.IsMatch(refusal.Diagnostic.Message, entry.Message)).Reason
                    ?? RefusedTexts.FirstOrDefault(entry => Regex.IsMatch(texts[i], entry.Text)).Reason;
                if (reason is null)
                {
                    differences.Add($"{shown}\nis refused, but PyYAML accepts it: {refusal.Message}");
                }

                reasons[reason ?? ""] = reasons.GetValueOrDefault(reason ?? "") + 1;
            }
            catch (CompileException)
            {
                // Refused by both.
            }
        }

        Assert.True(differences.Count == 0, $"{differences.Count} differences, such as\n{string.Join('\n', differences.OrderBy(text => text.Length).Take(10))}");

        // Enough of both kinds, or the test says nothing.
        Assert.InRange(both, Texts / 5, Texts);
        Assert.InRange(reasons.Count, 3, RefusedOnPurpose.Length + RefusedTexts.Length);
    }

    private static string[] ReadByPyYaml(string[] texts)
    {
        string file = Path.GetTempFileName();
        try
        {
            File.WriteAllLines(file, texts.Select(text => Convert.ToBase64String(Encoding.UTF8.GetBytes(text))));
            (int code, string output, string errors) = OutsidePrograms.Run(
                OutsidePrograms.Python, OutsidePrograms.Corpus("..", "PatternCompiler.Oracles", "Jobs", "read_yaml.py"), file);
            Assert.True(code == 0, errors);
            return output.TrimEnd('\n').Split('\n');
        }
        finally
        {
            File.Delete(file);
        }
    }

    private static IEnumerable<string> Changed(Random random)
    {
        string[] files =
        [
            DefaultFiles.MachineText, DefaultFiles.ProcessText, DefaultFiles.JobText,
            .. Directory.EnumerateFiles(OutsidePrograms.Corpus("..", "..", "examples"), "*.yaml", SearchOption.AllDirectories)
                .Where(file => Path.GetFileName(file) != "lab.yaml") // What the virtual lab is told, no settings.
                .Order(StringComparer.Ordinal).Select(File.ReadAllText),
        ];
        for (int i = 0; i < Texts; i++)
        {
            string text = files[random.Next(files.Length)];
            if (random.Next(10) < 7)
            {
                string[] lines = text.Split('\n');
                int first = random.Next(lines.Length);
                text = string.Join('\n', lines[first..Math.Min(lines.Length, first + random.Next(1, 12))]);
            }

            for (int changes = random.Next(1, 5); changes > 0; changes--)
            {
                text = Change(text, random);
            }

            yield return text;
        }
    }

    private static string Change(string text, Random random)
    {
        int place = random.Next(text.Length + 1);
        int end = Math.Min(text.Length, place + random.Next(1, 20));
        string mark = Marks[random.Next(Marks.Length)];
        switch (random.Next(5))
        {
            case 0:
                return text.Insert(place, mark);
            case 1:
                return text.Remove(place, Math.Min(text.Length, place + random.Next(1, 5)) - place);
            case 2:
                return text.Insert(random.Next(text.Length + 1), text[place..end]);
            case 3:
                return text[..place] + mark + text[Math.Min(text.Length, place + 1)..];
            default:
                string[] lines = text.Split('\n');
                int chosen = random.Next(lines.Length);
                lines[chosen] = random.Next(3) switch { 0 => lines[chosen].TrimStart(), 1 => " " + lines[chosen], _ => lines[chosen].Length > 0 ? lines[chosen][1..] : "" };
                return string.Join('\n', lines);
        }
    }

    private static string Printed(YamlNode node) => node switch
    {
        YamlScalar scalar => JsonSerializer.Serialize(scalar.Text),
        YamlList list => $"[{string.Join(", ", list.Items.Select(Printed))}]",
        YamlMapping mapping => $"{{{string.Join(", ", mapping.Entries.Select(entry => $"{JsonSerializer.Serialize(entry.Key)}: {Printed(entry.Value)}"))}}}",
        _ => throw new InvalidOperationException(),
    };

    /// <summary>The same of PyYAML's tree; blanks around values and YAML's words for no value mean nothing to us.</summary>
    private static string Printed(JsonElement node) => node.ValueKind switch
    {
        JsonValueKind.Array => JsonSerializer.Serialize(TextOf(node)),
        JsonValueKind.Object when node.TryGetProperty("list", out JsonElement items) => $"[{string.Join(", ", items.EnumerateArray().Select(Printed))}]",
        JsonValueKind.Object => $"{{{string.Join(", ", node.GetProperty("map").EnumerateArray().Select(entry => $"{JsonSerializer.Serialize(entry[0][0].GetString())}: {Printed(entry[1])}"))}}}",
        _ => "nothing",
    };

    private static string TextOf(JsonElement scalar)
    {
        string text = scalar[0].GetString()!;
        return scalar[1].GetBoolean() && text is "~" or "null" ? "" : text.Trim();
    }
}
