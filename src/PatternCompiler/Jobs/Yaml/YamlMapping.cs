using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Jobs.Yaml;

/// <summary>Keys and values. Keys are unique.</summary>
internal sealed class YamlMapping(YamlSource source, string path, int line, int column, IReadOnlyList<YamlEntry> entries)
    : YamlNode(source, path, line, column)
{
    private readonly Dictionary<string, YamlEntry> byKey = entries.ToDictionary(entry => entry.Key, StringComparer.Ordinal);
    private string[] known = [];

    /// <summary>Keys and values in file order.</summary>
    public IReadOnlyList<YamlEntry> Entries { get; } = entries;

    /// <inheritdoc/>
    public override string Form => "a mapping";

    /// <summary>Value of a key, or null if it is absent.</summary>
    public YamlNode? Optional(string key)
    {
        if (!known.Contains(key))
        {
            throw new InvalidOperationException($"The key '{key}' is read but not listed as known.");
        }

        return byKey.TryGetValue(key, out YamlEntry? entry) ? entry.Value : null;
    }

    /// <summary>Value of a key that must be there.</summary>
    public YamlNode Required(string key) =>
        Optional(key) ?? throw Error(JobCodes.MissingKey, $"{Name} has no '{key}'", $"add '{key}:' with its value");

    /// <summary>Refuses two keys that exclude each other.</summary>
    public void RefuseBoth(string key, string other)
    {
        if (Optional(key) is not null && Optional(other) is YamlNode second)
        {
            throw second.OutOfRange($"'{key}' and '{other}' exclude each other", "keep one of them");
        }
    }

    /// <summary>Refuses every key outside a list.</summary>
    internal void Allow(ReadOnlySpan<string> keys)
    {
        known = keys.ToArray();
        foreach (YamlEntry entry in Entries)
        {
            if (!known.Contains(entry.Key))
            {
                string? nearest = NearestWord.Find(entry.Key, known);
                throw new CompileException(
                    JobCodes.UnknownKey,
                    Path.Length == 0 ? $"unknown key '{entry.Key}'" : $"unknown key '{entry.Key}' in {Name}",
                    new SourcePlace(Source.File, entry.KeyLine, entry.KeyColumn),
                    nearest is null ? $"known here: {string.Join(", ", known)}" : $"did you mean '{nearest}'?",
                    Source.LineText(entry.KeyLine));
            }
        }
    }
}

/// <summary>One key of a mapping with its value.</summary>
/// <param name="Key">The key.</param>
/// <param name="KeyLine">1-based line of the key.</param>
/// <param name="KeyColumn">1-based column of the key.</param>
/// <param name="Value">The value.</param>
internal sealed record YamlEntry(string Key, int KeyLine, int KeyColumn, YamlNode Value);
