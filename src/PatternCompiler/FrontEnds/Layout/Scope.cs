namespace PatternCompiler.FrontEnds.Layout;

/// <summary>The parameters that a block defines, and those of the blocks around it.</summary>
internal sealed class Scope(Scope? outer)
{
    private readonly Dictionary<string, Amount> values = new(StringComparer.Ordinal);

    /// <summary>The block around this one, or null.</summary>
    public Scope? Outer => outer;

    /// <summary>False if this very block has defined the name before.</summary>
    public bool TryDefine(string name, Amount value) => values.TryAdd(name, value);

    /// <summary>Looks through this block, then those around it.</summary>
    public bool TryFind(string name, out Amount value)
    {
        for (Scope? scope = this; scope is not null; scope = scope.Outer)
        {
            if (scope.values.TryGetValue(name, out value))
            {
                return true;
            }
        }

        value = default;
        return false;
    }

    /// <summary>Every name in sight, for suggestions.</summary>
    public IEnumerable<string> Names
    {
        get
        {
            for (Scope? scope = this; scope is not null; scope = scope.Outer)
            {
                foreach (string name in scope.values.Keys)
                {
                    yield return name;
                }
            }
        }
    }
}
