using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fill;

/// <summary>Which way lines run.</summary>
public enum FillDirection
{
    /// <summary>Along the sample's x axis.</summary>
    X,

    /// <summary>Along the sample's y axis.</summary>
    Y,

    /// <summary>Along the longer side of each figure; x in a raster.</summary>
    LongSide,
}

/// <summary>How lines and points sit on DAC codes.</summary>
public enum CodePlacement
{
    /// <summary><see cref="Weighted"/> along an axis whose spacing is in codes, <see cref="Rounded"/> otherwise.</summary>
    Automatic,

    /// <summary>
    /// Lines and points stand where they tile the figure evenly; scaling rounds each to its nearest code. An edge is off
    /// by up to half a code.
    /// </summary>
    Rounded,

    /// <summary>
    /// Lines and points stand on codes only, and their doses are weighted so that each figure's charge and centroid are
    /// those of the ideal figure: an edge moves by hundredths of a code. With a spacing in codes every n-th code of the
    /// field is used; with a spacing in nanometres the codes nearest to an even spread over the figure.
    /// </summary>
    Weighted,

    /// <summary>
    /// Every n-th code of the field whose centre lies inside the figure, all with the same dose: the plain rule, off by
    /// up to half a spacing. Only for spacings in codes, or in a raster, where pixels are then on or off instead of grey
    /// by the area that is covered.
    /// </summary>
    Centre,
}

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

    /// <summary>What waits for the trigger input.</summary>
    public TriggerUnit Trigger { get; init; }

    /// <summary>Time from the trigger's edge until writing starts.</summary>
    public double TriggerDelaySeconds { get; init; }

    /// <summary>Pass k of n, from 0, waits the part k/n of the trigger's period more, so that hum of the mains evens out.</summary>
    public bool SpreadsPasses { get; init; }

    /// <summary>Base dose of areas on this layer, or null for that of all layers.</summary>
    public double? AreaDoseCoulombsPerSquareMetre { get; init; }

    /// <summary>Base dose of single lines on this layer, or null for that of all layers.</summary>
    public double? LineDoseCoulombsPerMetre { get; init; }

    /// <summary>Base charge of dots on this layer, or null for that of all layers.</summary>
    public double? DotChargeCoulombs { get; init; }
}
