namespace PatternCompiler.Passes.Fill.Automatic;

/// <summary>What a pair of line pitch and point step would mean for a layer.</summary>
/// <param name="LinePitch">Distance between lines.</param>
/// <param name="PointStep">Distance between points along a line.</param>
/// <param name="LinePitchNanometres">The same on the sample; the larger one where the codes of the two axes differ and both count.</param>
/// <param name="PointStepNanometres">The same along a line.</param>
/// <param name="ShortestDwellSeconds">Dwell of a regular point at the layer's lowest dose.</param>
/// <param name="LongestDwellSeconds">Dwell of a regular point at the layer's highest dose.</param>
/// <param name="NanometresPerSecond">Speed of the beam along lines at the lowest dose.</param>
/// <param name="LagNanometres">How far the beam lags behind at that speed.</param>
/// <param name="LinkBytesPerSecond">What the link must carry meanwhile.</param>
/// <param name="RippleAcross">Relative amplitude of the dose from line to line.</param>
/// <param name="RippleAlong">Relative amplitude of the dose from point to point.</param>
/// <param name="Breaks">The first limit that is not met, or <see cref="SpacingRule.None"/>.</param>
public sealed record SpacingEffect(
    Spacing LinePitch,
    Spacing PointStep,
    double LinePitchNanometres,
    double PointStepNanometres,
    double ShortestDwellSeconds,
    double LongestDwellSeconds,
    double NanometresPerSecond,
    double LagNanometres,
    double LinkBytesPerSecond,
    double RippleAcross,
    double RippleAlong,
    SpacingRule Breaks);
