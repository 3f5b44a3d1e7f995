using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fill;

/// <summary>How one layer is written.</summary>
/// <param name="Strategy">How areas are covered.</param>
/// <param name="Direction">Which way lines run.</param>
/// <param name="LinePitch">Distance between lines.</param>
/// <param name="PointStep">Distance between points along a line.</param>
/// <param name="DoseFactor">Multiplies the base doses for this layer.</param>
public sealed record LayerFill(
    FillStrategy Strategy,
    FillDirection Direction,
    Spacing LinePitch,
    Spacing PointStep,
    DoseFactor DoseFactor)
{
    /// <summary>How lines and points sit on DAC codes.</summary>
    public CodePlacement Placement { get; init; }
}
