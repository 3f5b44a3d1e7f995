namespace PatternCompiler.Mutants;

/// <summary>One entry of Equivalents.yaml.</summary>
internal sealed class EquivalentEntry
{
    /// <summary>
    /// The kinds of reason: <c>same value</c> (both compute the same), <c>decided earlier</c> (the case cannot come here),
    /// <c>redundant guard</c> (what follows refuses it too), <c>capacity</c> (memory reserved), <c>choice</c> (another result as good, and promised nowhere).
    /// A slower way to the same result is no equivalent where speed is promised.
    /// </summary>
    public static readonly string[] Arguments = ["same value", "decided earlier", "redundant guard", "capacity", "choice"];

    public string Mutant { get; set; } = "";

    /// <summary>For the reader: original and change.</summary>
    public string Change { get; set; } = "";

    public string Argument { get; set; } = "";

    public string Reason { get; set; } = "";
}
