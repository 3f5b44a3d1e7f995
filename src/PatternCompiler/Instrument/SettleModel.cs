using System.Collections.Immutable;

namespace PatternCompiler.Instrument;

/// <summary>How long the deflection needs after a jump.</summary>
/// <param name="FixedSeconds">Shortest wait after any jump.</param>
/// <param name="TimeConstantSeconds">Time constant τ of the slowest part of the deflection; 0 for none. The wait is τ·ln(jump/half a code).</param>
/// <param name="SlewNanometresPerSecond">Fastest move on the sample; 0 for no limit.</param>
public sealed record SettleModel(double FixedSeconds, double TimeConstantSeconds, double SlewNanometresPerSecond)
{
    /// <summary>Measured waits by jump length, ascending; where given they take the place of time constant and slew limit.</summary>
    public ImmutableArray<SettlePoint> Table { get; init; } = [];

    /// <summary>Lines are sent ahead by the way that the beam lags behind, so that it runs where it should.</summary>
    public bool CancelsLag { get; init; }

    internal IEnumerable<SettingLine> Lines =>
    [
        new("settle", FixedSeconds, TimeConstantSeconds, SlewNanometresPerSecond, SettingLine.Truth(CancelsLag)),
        new("settle table", [.. Table.SelectMany(point => new[] { point.JumpNanometres, point.Seconds })]),
    ];
}

/// <summary>One line of a measured settling table.</summary>
/// <param name="JumpNanometres">Length of the jump along its longer axis.</param>
/// <param name="Seconds">Wait that it needs.</param>
public readonly record struct SettlePoint(double JumpNanometres, double Seconds);
