namespace PatternCompiler.Model.Strokes;

/// <summary>Words and scales of the text form of strokes. The form is specified in Model/Carriers/README.md.</summary>
internal static class StrokesText
{
    /// <summary>First line.</summary>
    public static ReadOnlySpan<byte> FirstLine => "strokes 1"u8;

    /// <summary>The word that names the document.</summary>
    public static ReadOnlySpan<byte> Name => "strokes"u8;

    /// <summary>Positions are written in nanometres; six decimals make femtometres.</summary>
    public const int PositionDecimals = 6;

    /// <summary>Charges are written in attocoulombs; three decimals make zeptocoulombs.</summary>
    public const int ChargeDecimals = 3;

    /// <summary>Waits are written in nanoseconds; three decimals make picoseconds.</summary>
    public const int WaitDecimals = 3;

    /// <summary>Longest wait, an hour in picoseconds.</summary>
    public const long LongestWait = 3_600_000_000_000_000;

    /// <summary>Largest magnitude of a position, 1 m in femtometres.</summary>
    public const long LargestPosition = 1_000_000_000_000_000;
}
