using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Jobs.Yaml;

/// <summary>Keys and values. Keys are unique. Reading a key makes it known; <see cref="YamlText.Read"/> refuses those that nothing reads.</summary>
internal sealed class YamlMapping(YamlSource source, string path, int line, int column, IReadOnlyList<YamlEntry> entries)
    : YamlNode(source, path, line, column)
{
    private readonly Dictionary<string, YamlEntry> byKey = entries.ToDictionary(entry => entry.Key, StringComparer.Ordinal);
    private readonly List<string> known = [];
    private readonly HashSet<string> needed = new(StringComparer.Ordinal);

    /// <summary>Keys and values in file order.</summary>
    public IReadOnlyList<YamlEntry> Entries { get; } = entries;

    /// <summary>Keys that have been asked for, in the order of asking.</summary>
    public IReadOnlyList<string> Known => known;

    /// <summary>Keys among them that must be there.</summary>
    public IReadOnlySet<string> Needed => needed;

    /// <summary>True where the user chooses the keys.</summary>
    public bool IsOpen { get; private set; }

    /// <inheritdoc/>
    public override string Form => "a mapping";

    /// <summary>Value of a key, or null if it is absent.</summary>
    public YamlNode? Optional(string key)
    {
        Accept(key);
        return byKey.TryGetValue(key, out YamlEntry? entry) ? entry.Value : null;
    }

    /// <summary>Value of a key that must be there.</summary>
    public YamlNode Required(string key)
    {
        needed.Add(key);
        if (Optional(key) is YamlNode value)
        {
            return value;
        }

        YamlEntry? misspelled = Entries.FirstOrDefault(entry => !known.Contains(entry.Key) && NearestWord.Find(entry.Key, [key]) is not null);
        throw misspelled is null ? Error(JobCodes.MissingKey, $"{Name} has no '{key}'", $"add '{key}:' with its value") : Unknown(misspelled, key);
    }

    /// <summary>The entries with one of several keys, in file order.</summary>
    public IReadOnlyList<YamlEntry> Among(IEnumerable<string> keys)
    {
        Accept([.. keys]);
        return [.. Entries.Where(entry => known.Contains(entry.Key))];
    }

    /// <summary>All entries of a mapping whose keys the user chooses.</summary>
    public IReadOnlyList<YamlEntry> Any()
    {
        IsOpen = true;
        return Entries;
    }

    /// <summary>Makes keys known that are there for people.</summary>
    public void Accept(params ReadOnlySpan<string> keys)
    {
        foreach (string key in keys)
        {
            if (!known.Contains(key))
            {
                known.Add(key);
            }
        }
    }

    /// <summary>Refuses two keys that exclude each other.</summary>
    public void RefuseBoth(string key, string other)
    {
        (YamlNode? first, YamlNode? second) = (Optional(key), Optional(other));
        if (first is not null && second is not null)
        {
            throw second.OutOfRange($"'{key}' and '{other}' exclude each other", "keep one of them");
        }
    }

    /// <inheritdoc/>
    internal override void RefuseUnread()
    {
        foreach (YamlEntry entry in Entries)
        {
            if (!IsOpen && !known.Contains(entry.Key))
            {
                throw Unknown(entry, NearestWord.Find(entry.Key, known));
            }

            entry.Value.RefuseUnread();
        }
    }

    private CompileException Unknown(YamlEntry entry, string? nearest) => new(
        JobCodes.UnknownKey,
        Path.Length == 0 ? $"unknown key '{entry.Key}'" : $"unknown key '{entry.Key}' in {Name}",
        new SourcePlace(Source.File, entry.KeyLine, entry.KeyColumn),
        nearest is null ? $"known here: {string.Join(", ", known)}" : $"did you mean '{nearest}'?",
        Source.LineText(entry.KeyLine));
}

/// <summary>One key of a mapping with its value.</summary>
/// <param name="Key">The key.</param>
/// <param name="KeyLine">1-based line of the key.</param>
/// <param name="KeyColumn">1-based column of the key.</param>
/// <param name="Value">The value.</param>
internal sealed record YamlEntry(string Key, int KeyLine, int KeyColumn, YamlNode Value);
