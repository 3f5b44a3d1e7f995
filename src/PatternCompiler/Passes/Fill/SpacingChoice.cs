namespace PatternCompiler.Passes.Fill;

/// <summary>The line pitch and point step that were chosen for a layer, and why.</summary>
/// <param name="Layer">Name of the layer.</param>
/// <param name="Chosen">The choice and what it means.</param>
/// <param name="PitchRule">What keeps the line pitch from being a code finer.</param>
/// <param name="StepRule">What keeps the point step from being a code finer.</param>
/// <param name="Finer">One code finer in all that was to be chosen; null where that is not possible.</param>
/// <param name="Coarser">One code coarser.</param>
/// <param name="LowestDoseFactor">Lowest dose factor of a figure on the layer.</param>
/// <param name="HighestDoseFactor">Highest dose factor of a figure on the layer.</param>
/// <param name="HasReserve">
/// Regular points are longer than the controller's shortest dwell by a reserve, so that lighter points can weight edges.
/// </param>
public sealed record SpacingChoice(
    string Layer,
    SpacingEffect Chosen,
    SpacingRule PitchRule,
    SpacingRule StepRule,
    SpacingEffect? Finer,
    SpacingEffect Coarser,
    double LowestDoseFactor,
    double HighestDoseFactor,
    bool HasReserve);

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

/// <summary>What keeps a line pitch or point step from being finer or coarser.</summary>
public enum SpacingRule
{
    /// <summary>Nothing: it was given, or the layer has no use for it.</summary>
    None,

    /// <summary>A code is the smallest step there is.</summary>
    OneCode,

    /// <summary>Finer than a quarter of the spot brings nothing but more points.</summary>
    Spot,

    /// <summary>The controller's shortest dwell, with a reserve for the lighter points of weighted edges.</summary>
    ShortestDwell,

    /// <summary>The clock: a point of few ticks gets its dose only coarsely.</summary>
    ClockTick,

    /// <summary>The fastest move of the deflection.</summary>
    DeflectionSpeed,

    /// <summary>The deflection's time constant: the beam may lag behind by half a spot.</summary>
    DeflectionLag,

    /// <summary>The link, of which four fifths may be used.</summary>
    Link,

    /// <summary>The controller's longest dwell.</summary>
    LongestDwell,

    /// <summary>The dose must not ripple by more than 2%.</summary>
    Evenness,
}
