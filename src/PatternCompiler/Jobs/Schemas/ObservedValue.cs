using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Jobs.Schemas;

/// <summary>What readers have taken at one place of settings files, over several files: every form that a value had there, and as what it was read.</summary>
internal sealed class ObservedValue
{
    private readonly List<YamlReading> readings = [];
    private readonly Dictionary<string, ObservedValue> keys = new(StringComparer.Ordinal);
    private readonly HashSet<string> known = new(StringComparer.Ordinal);
    private HashSet<string>? needed;

    /// <summary>As what single values were read, each way once.</summary>
    public IReadOnlyList<YamlReading> Readings => readings;

    /// <summary>True if a mapping stood here.</summary>
    public bool IsMapping => needed is not null;

    /// <summary>The keys that had a value in one of the files.</summary>
    public IReadOnlyDictionary<string, ObservedValue> Keys => keys;

    /// <summary>Keys that readers ask for and that no file had.</summary>
    public IEnumerable<string> NeverSeen => known.Where(key => !keys.ContainsKey(key));

    /// <summary>The value of every key where the user chooses the keys; else null.</summary>
    public ObservedValue? Any { get; private set; }

    /// <summary>The items of a list; null if none stood here.</summary>
    public ObservedValue? Items { get; private set; }

    /// <summary>True for a key without which no file was read.</summary>
    public bool Needs(string key) => needed!.Contains(key);

    /// <summary>Adds what was read at the same place of another file.</summary>
    public void Add(YamlNode node)
    {
        switch (node)
        {
            case YamlMapping { IsOpen: true } mapping:
                needed ??= [];
                AddAny(mapping);
                break;
            case YamlMapping mapping:
                AddKeys(mapping);
                break;
            case YamlList list:
                Items ??= new ObservedValue();
                foreach (YamlNode item in list.Items)
                {
                    Items.Add(item);
                }

                break;
            default:
                AddReadings(node);
                break;
        }
    }

    private void AddAny(YamlMapping mapping)
    {
        Any ??= new ObservedValue();
        foreach (YamlEntry entry in mapping.Entries)
        {
            Any.Add(entry.Value);
        }
    }

    private void AddKeys(YamlMapping mapping)
    {
        known.UnionWith(mapping.Known);
        if (needed is null)
        {
            needed = new HashSet<string>(mapping.Needed, StringComparer.Ordinal);
        }
        else
        {
            needed.IntersectWith(mapping.Needed);
        }

        foreach (YamlEntry entry in mapping.Entries)
        {
            if (!keys.TryGetValue(entry.Key, out ObservedValue? value))
            {
                keys.Add(entry.Key, value = new ObservedValue());
            }

            value.Add(entry.Value);
        }
    }

    /// <summary>A text is read first where its form decides how it is read on, so any other reading says more.</summary>
    private void AddReadings(YamlNode node)
    {
        bool saysMore = node.Readings.Any(reading => reading is not YamlReading.Text);
        readings.AddRange(node.Readings.Where(reading => reading is not YamlReading.Text || !saysMore));
    }
}
