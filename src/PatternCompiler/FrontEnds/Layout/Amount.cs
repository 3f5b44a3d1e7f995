namespace PatternCompiler.FrontEnds.Layout;

/// <summary>A value of a formula: a plain number, a length, or a power of a length. Exact decimal arithmetic.</summary>
/// <param name="Value">The number; lengths count in picometres.</param>
/// <param name="LengthPower">0 for a plain number, 1 for a length, 2 for an area…</param>
internal readonly record struct Amount(decimal Value, int LengthPower)
{
    /// <summary>What it is, in words for a message.</summary>
    public string Kind => LengthPower switch
    {
        0 => "a plain number",
        1 => "a length",
        2 => "an area",
        _ => $"a length to the power {LengthPower}",
    };
}
