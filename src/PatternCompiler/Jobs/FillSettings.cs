using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>How areas and lines are filled. A null value leaves the choice to the job's general fill.</summary>
/// <param name="Strategy">Lines in each figure, or raster over the field.</param>
/// <param name="LinePitch">Between neighbouring lines: a length or a whole number of DAC codes.</param>
/// <param name="PointStep">Between points along a line: a length or a whole number of DAC codes.</param>
public sealed record FillSettings(FillStrategy? Strategy, Quantity? LinePitch, Quantity? PointStep)
{
    /// <summary>These settings, with another's wherever this one says nothing.</summary>
    public FillSettings Over(FillSettings general) => new(
        Strategy ?? general.Strategy,
        LinePitch ?? general.LinePitch,
        PointStep ?? general.PointStep);
}
