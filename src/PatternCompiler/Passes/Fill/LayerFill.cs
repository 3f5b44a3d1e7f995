using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fill;

/// <summary>How one layer is written.</summary>
/// <param name="Strategy">How areas are covered.</param>
/// <param name="Direction">Which way lines run.</param>
/// <param name="LinePitch">Distance between lines.</param>
/// <param name="PointStep">Distance between points along a line.</param>
/// <param name="DoseFactor">Multiplies the base doses for this layer.</param>
internal sealed record LayerFill(
    FillStrategy Strategy,
    FillDirection Direction,
    Spacing LinePitch,
    Spacing PointStep,
    DoseFactor DoseFactor)
{
    /// <summary>How lines and points sit on DAC codes.</summary>
    public CodePlacement Placement { get; init; }

    /// <summary>How often the layer is written, each time with an equal part of the dose.</summary>
    public int Passes { get; init; } = 1;

    /// <summary>
    /// Shifts each pass by a different part of a code, evenly from minus to plus half a code, so that its positions are
    /// rounded differently and their average is finer than a code.
    /// </summary>
    public bool StaggersPasses { get; init; }

    /// <summary>Order of the lines of a figure or raster: every n-th line first, then those after them, and so on.</summary>
    public int Interlace { get; init; } = 1;

    /// <summary>Base dose of areas on this layer, or null for that of all layers.</summary>
    public double? AreaDoseCoulombsPerSquareMetre { get; init; }

    /// <summary>Base dose of single lines on this layer, or null for that of all layers.</summary>
    public double? LineDoseCoulombsPerMetre { get; init; }

    /// <summary>Base charge of dots on this layer, or null for that of all layers.</summary>
    public double? DotChargeCoulombs { get; init; }
}
