using System.Globalization;

namespace PatternCompiler.Fuzz.Running;

/// <summary>
/// Where an input comes from: a seed of its target and the runs that changed it, one after the other. It is all that is
/// needed to make the input again.
/// </summary>
/// <param name="Start">Number of the seed.</param>
/// <param name="Runs">Numbers of the runs whose changes were kept, the last one its own.</param>
internal sealed record Lineage(int Start, IReadOnlyList<long> Runs)
{
    /// <summary>The same with one more change.</summary>
    public Lineage Then(long run) => new(Start, [.. Runs, run]);

    /// <summary>As text, such as "3/17/20418".</summary>
    public override string ToString() => string.Join('/', [Start, .. Runs]);

    /// <summary>Reads the text.</summary>
    public static Lineage Parse(string text)
    {
        string[] parts = text.Split('/');
        return new Lineage(int.Parse(parts[0], CultureInfo.InvariantCulture), [.. parts.Skip(1).Select(part => long.Parse(part, CultureInfo.InvariantCulture))]);
    }
}
