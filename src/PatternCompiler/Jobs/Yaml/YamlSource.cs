namespace PatternCompiler.Jobs.Yaml;

/// <summary>The text of a YAML file, kept for quoting the line at fault.</summary>
internal sealed class YamlSource(string? file, string text)
{
    private string[]? lines;

    private string[] Lines => lines ??= Text.ReplaceLineEndings("\n").Split('\n');

    /// <summary>File name for messages.</summary>
    public string? File { get; } = file;

    /// <summary>The whole text.</summary>
    public string Text { get; } = text;

    /// <summary>Text of a 1-based line, or null if there is none.</summary>
    public string? LineText(int line)
    {
        string[] all = Lines;
        return line >= 1 && line <= all.Length ? all[line - 1] : null;
    }
}
