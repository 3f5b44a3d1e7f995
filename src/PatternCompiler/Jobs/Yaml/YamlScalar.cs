namespace PatternCompiler.Jobs.Yaml;

/// <summary>A single value as text; empty where the file leaves the value out.</summary>
internal sealed class YamlScalar(YamlSource source, string path, int line, int column, string text)
    : YamlNode(source, path, line, column)
{
    /// <summary>The text without quotes.</summary>
    public string Text { get; } = text;

    /// <inheritdoc/>
    public override string Form => Text.Length == 0 ? "empty" : $"'{Text}'";
}
