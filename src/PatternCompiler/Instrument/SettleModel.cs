using System.Collections.Immutable;

namespace PatternCompiler.Instrument;

/// <summary>How long the deflection needs after a jump, and how it gets there.</summary>
/// <param name="FixedSeconds">Shortest wait after any jump.</param>
/// <param name="TimeConstantSeconds">Time constant τ of the slowest part of the deflection; 0 for none. The wait is τ·ln(jump/half a code).</param>
/// <param name="SlewNanometresPerSecond">Fastest move on the sample; 0 for no limit.</param>
public sealed record SettleModel(double FixedSeconds, double TimeConstantSeconds, double SlewNanometresPerSecond)
{
    /// <summary>Measured waits by jump length, ascending; where given they take the place of waits from the response.</summary>
    public ImmutableArray<SettlePoint> Table { get; init; } = [];

    /// <summary>Lines are sent ahead by the way that the beam lags behind, so that it runs where it should.</summary>
    public bool CancelsLag { get; init; }

    /// <summary>Response along the sample's x axis as a sum of exponentials; empty where one time constant describes it.</summary>
    public ImmutableArray<SettlePart> ResponseX { get; init; } = [];

    /// <summary>As <see cref="ResponseX"/>, along y; both are given or none.</summary>
    public ImmutableArray<SettlePart> ResponseY { get; init; } = [];

    /// <summary>How much further right the beam comes to rest at a place that it is sent to from the right than from the left, in nanometres.</summary>
    public double HysteresisXNanometres { get; init; }

    /// <summary>As <see cref="HysteresisXNanometres"/>, upwards for a place that is approached from above.</summary>
    public double HysteresisYNanometres { get; init; }

    /// <summary>How far left of and below its start every exposure is approached from, in nanometres; 0 for straight jumps.</summary>
    public double ApproachNanometres { get; init; }

    /// <summary>Loops before the first figure of a field; null for none.</summary>
    public ConditioningLoops? Conditioning { get; init; }

    /// <summary>True where the response is a sum of exponentials.</summary>
    internal bool IsSum => !ResponseX.IsDefaultOrEmpty;

    /// <summary>Time by which the beam lags behind on a long line at an even speed, along the slower axis.</summary>
    internal double LagSeconds => IsSum
        ? Math.Max(ResponseX.Sum(part => part.Part * part.TimeConstantSeconds), ResponseY.Sum(part => part.Part * part.TimeConstantSeconds))
        : TimeConstantSeconds;

    /// <summary>The same with the largest part alone, as one time constant: good enough to choose ways by that are judged with all parts.</summary>
    internal SettleModel Dominant => IsSum
        ? this with { TimeConstantSeconds = ResponseX.Concat(ResponseY).MaxBy(part => part.Part).TimeConstantSeconds, ResponseX = [], ResponseY = [] }
        : this;

    internal IEnumerable<SettingLine> Lines =>
    [
        new("settle", FixedSeconds, TimeConstantSeconds, SlewNanometresPerSecond, SettingLine.Truth(CancelsLag)),
        new("settle table", [.. Table.SelectMany(point => new[] { point.JumpNanometres, point.Seconds })]),

        // Documents keep the digests they had before there were these. Hysteresis is for predictions: it changes no record.
        .. IsSum ? (SettingLine[])[new("response x", Numbers(ResponseX)), new("response y", Numbers(ResponseY))] : [],
        .. ApproachNanometres > 0 ? (SettingLine[])[new("approach", ApproachNanometres)] : [],
        .. Conditioning is { } loops ? (SettingLine[])[new("conditioning", loops.Count, loops.WidthNanometres, loops.HeightNanometres)] : [],
    ];

    private static double[] Numbers(ImmutableArray<SettlePart> parts) => [.. parts.SelectMany(part => new[] { part.Part, part.TimeConstantSeconds })];
}

/// <summary>One line of a measured settling table.</summary>
/// <param name="JumpNanometres">Length of the jump along its longer axis.</param>
/// <param name="Seconds">Wait that it needs.</param>
public readonly record struct SettlePoint(double JumpNanometres, double Seconds);
