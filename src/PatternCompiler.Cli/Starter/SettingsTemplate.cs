using System.Text;

namespace PatternCompiler.Cli.Starter;

/// <summary>
/// A commented settings file in which single values are replaced and everything else, comments above all, stays as it
/// is. Knows only what the built-in files use: keys at the line's start, nested by two blanks, value and comment after.
/// </summary>
internal sealed class SettingsTemplate
{
    private readonly List<string> lines;

    /// <summary>Takes a built-in file without the comment at its top, which speaks of the built-in values.</summary>
    public SettingsTemplate(string builtIn, params string[] opening)
    {
        string[] all = builtIn.ReplaceLineEndings("\n").TrimEnd('\n').Split('\n');
        int body = Array.FindIndex(all, line => line.Length > 0 && line[0] != '#');
        lines = [.. opening.Select(line => line.Length == 0 ? "#" : "# " + line), "", .. all[body..]];
    }

    /// <summary>Replaces the value of a key such as "dac.bits".</summary>
    public SettingsTemplate Set(string key, string value)
    {
        int line = Find(key);
        int start = lines[line].IndexOf(':', StringComparison.Ordinal) + 1;
        int comment = lines[line].IndexOf(" #", start, StringComparison.Ordinal);
        string setting = $"{lines[line][..start]} {value}";
        lines[line] = comment < 0 ? setting : setting.PadRight(comment) + lines[line][comment..];
        return this;
    }

    /// <summary>Gives a key another name, its value and comment kept.</summary>
    public SettingsTemplate Rename(string key, string name)
    {
        int line = Find(key);
        (string before, string after) = (lines[line], name + lines[line][lines[line].IndexOf(':', StringComparison.Ordinal)..]);
        string renamed = before[..(before.Length - before.TrimStart().Length)] + after;
        int comment = renamed.IndexOf(" #", StringComparison.Ordinal);
        int column = before.IndexOf(" #", StringComparison.Ordinal);
        lines[line] = comment < 0 ? renamed : renamed[..comment].TrimEnd().PadRight(column) + renamed[comment..];
        return this;
    }

    /// <summary>Replaces so many lines, from the one that starts with <paramref name="firstLine"/>.</summary>
    public SettingsTemplate ReplaceLines(string firstLine, int count, params string[] replacement)
    {
        int start = lines.FindIndex(line => line.StartsWith(firstLine, StringComparison.Ordinal));
        lines.RemoveRange(start, count);
        lines.InsertRange(start, replacement);
        return this;
    }

    /// <summary>Replaces a commented block, from the line that starts with <paramref name="firstLine"/> to the next line that is no comment.</summary>
    public SettingsTemplate ReplaceComment(string firstLine, params string[] replacement)
    {
        int start = lines.FindIndex(line => line.StartsWith(firstLine, StringComparison.Ordinal));
        int end = lines.FindIndex(start, line => line.Length == 0 || line[0] != '#');
        lines.RemoveRange(start, (end < 0 ? lines.Count : end) - start);
        lines.InsertRange(start, replacement);
        return this;
    }

    /// <summary>Replaces a block of a key and everything nested in it by one line.</summary>
    public SettingsTemplate ReplaceBlock(string key, string replacement)
    {
        int start = Find(key);
        int end = start + 1;
        while (end < lines.Count && lines[end].StartsWith(' '))
        {
            end++;
        }

        lines.RemoveRange(start, end - start);
        lines.Insert(start, replacement);
        return this;
    }

    public override string ToString()
    {
        var text = new StringBuilder();
        foreach (string line in lines)
        {
            text.Append(line).Append('\n');
        }

        return text.ToString();
    }

    private int Find(string key)
    {
        int line = -1;
        string indent = "";
        foreach (string part in key.Split('.'))
        {
            line = lines.FindIndex(line + 1, candidate => candidate.StartsWith($"{indent}{part}:", StringComparison.Ordinal));
            if (line < 0)
            {
                throw new ArgumentException($"The built-in file has no key '{key}'.", nameof(key));
            }

            indent += "  ";
        }

        return line;
    }
}
