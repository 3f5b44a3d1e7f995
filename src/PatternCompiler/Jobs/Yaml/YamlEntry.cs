namespace PatternCompiler.Jobs.Yaml;

/// <summary>One key of a mapping with its value.</summary>
/// <param name="Key">The key.</param>
/// <param name="KeyLine">1-based line of the key.</param>
/// <param name="KeyColumn">1-based column of the key.</param>
/// <param name="Value">The value.</param>
internal sealed record YamlEntry(string Key, int KeyLine, int KeyColumn, YamlNode Value);
