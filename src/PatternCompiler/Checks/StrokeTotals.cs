namespace PatternCompiler.Checks;

/// <summary>What a strokes document holds altogether.</summary>
/// <param name="Jumps">Moves with the beam off.</param>
/// <param name="Lines">Exposed lines.</param>
/// <param name="Dots">Exposed single points.</param>
/// <param name="Points">Exposed points.</param>
/// <param name="FigureChanges">How often the next stroke belonged to another figure.</param>
/// <param name="ChargeZeptocoulombs">Charge of all strokes, in 1e-21 C.</param>
public sealed record StrokeTotals(long Jumps, long Lines, long Dots, long Points, long FigureChanges, Int128 ChargeZeptocoulombs)
{
    /// <summary>Nothing so far.</summary>
    public static StrokeTotals None { get; } = new(0, 0, 0, 0, 0, 0);

    /// <summary>Together with another document.</summary>
    public StrokeTotals Plus(StrokeTotals other) => new(
        Jumps + other.Jumps,
        Lines + other.Lines,
        Dots + other.Dots,
        Points + other.Points,
        FigureChanges + other.FigureChanges,
        ChargeZeptocoulombs + other.ChargeZeptocoulombs);

    /// <summary>All strokes.</summary>
    public long Strokes => Jumps + Lines + Dots;

    /// <summary>Charge of all strokes.</summary>
    public double ChargeCoulombs => (double)ChargeZeptocoulombs * 1e-21;
}
