namespace PatternCompiler.Jobs.Yaml;

/// <summary>A list of values.</summary>
internal sealed class YamlList(YamlSource source, string path, int line, int column, IReadOnlyList<YamlNode> items)
    : YamlNode(source, path, line, column)
{
    /// <summary>The items in file order.</summary>
    public IReadOnlyList<YamlNode> Items { get; } = items;

    /// <inheritdoc/>
    public override string Form => "a list";
}
