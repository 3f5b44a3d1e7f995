using YamlDotNet.Serialization;

namespace PatternCompiler.Mutants;

/// <summary>The mutants that were judged to be no faults, each with its reason.</summary>
internal sealed class Equivalents
{
    private readonly Dictionary<string, EquivalentEntry> _entries;

    private Equivalents(IEnumerable<EquivalentEntry> entries) => _entries = entries.ToDictionary(e => e.Mutant, StringComparer.Ordinal);

    /// <exception cref="InvalidOperationException">An entry without argument or reason.</exception>
    public static Equivalents Read(string path)
    {
        IDeserializer reader = new DeserializerBuilder().Build();
        List<EquivalentEntry> entries = reader.Deserialize<List<EquivalentEntry>>(File.ReadAllText(path)) ?? [];
        EquivalentEntry? unexplained = entries.Find(e => e.Mutant.Length == 0 || e.Reason.Length == 0 || !EquivalentEntry.Arguments.Contains(e.Argument));
        return unexplained is null
            ? new Equivalents(entries)
            : throw new InvalidOperationException($"{path}: '{unexplained.Mutant}' needs a reason and one of the arguments {string.Join(", ", EquivalentEntry.Arguments)}.");
    }

    public bool Contains(Mutant mutant) => _entries.ContainsKey(mutant.Identity);

    /// <summary>The entries among the wanted files whose code has gone.</summary>
    public IEnumerable<string> Gone(IEnumerable<Mutant> mutants, Func<string, bool> isWanted)
    {
        var known = mutants.Select(m => m.Identity).ToHashSet(StringComparer.Ordinal);
        return _entries.Keys.Where(id => !known.Contains(id) && isWanted($"{id[..id.IndexOf('.', StringComparison.Ordinal)]}.cs"));
    }
}
