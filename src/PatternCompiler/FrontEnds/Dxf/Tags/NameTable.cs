namespace PatternCompiler.FrontEnds.Dxf.Tags;

/// <summary>Gives one string for each name, however often it occurs: entity types, layers and blocks repeat without end.</summary>
internal sealed class NameTable
{
    private readonly Dictionary<string, string> known = new(StringComparer.Ordinal);
    private readonly Dictionary<string, string>.AlternateLookup<ReadOnlySpan<char>> lookup;
    private string latest = "";

    public NameTable()
    {
        lookup = known.GetAlternateLookup<ReadOnlySpan<char>>();
    }

    /// <summary>The current value of the reader as a shared string.</summary>
    public string Get(DxfTagReader tag)
    {
        ReadOnlySpan<byte> value = tag.Value;
        Span<char> characters = stackalloc char[64];
        if (value.Length > characters.Length || !System.Text.Ascii.IsValid(value) || value.Contains((byte)'\\'))
        {
            return Intern(tag.Text());
        }

        System.Text.Encoding.Latin1.GetChars(value, characters);
        characters = characters[..value.Length];
        if (characters.SequenceEqual(latest))
        {
            return latest;
        }

        return latest = lookup.TryGetValue(characters, out string? name) ? name : Intern(characters.ToString());
    }

    private string Intern(string name)
    {
        known.TryAdd(name, name);
        return known[name];
    }
}
