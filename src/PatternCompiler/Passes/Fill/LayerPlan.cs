using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fill;

/// <summary>A layer's settings, checked and in femtometres and zeptocoulombs.</summary>
/// <param name="Fill">The settings.</param>
/// <param name="Charges">Its doses, and what a point must have at least.</param>
/// <param name="Axes">Where lines and points stand.</param>
internal sealed record LayerPlan(LayerFill Fill, LayerCharges Charges, LayerAxes Axes)
{
    private const double PicosecondsPerSecond = 1e12;

    /// <summary>How often everything is written.</summary>
    public int Passes => Fill.Passes;

    /// <summary>Every how many lines one is written before the next round.</summary>
    public int Interlace => Fill.Interlace;

    public bool IsOneWay => Fill.Strategy.IsOneWay;

    /// <summary>True if lines and points, or the pixels of a raster, are on or off by where their centres lie.</summary>
    public bool TestsCentres => Fill.Placement == CodePlacement.Centre;

    /// <summary>The plan of a layer.</summary>
    /// <exception cref="Diagnostics.CompileException">The settings make no sense, or need a machine.</exception>
    public static LayerPlan Of(string layer, LayerFill fill, FillOptions options)
    {
        LayerAxes axes = LayerAxes.Of(fill, options.Lattice, options.UnevenField);
        LayerCheck.Run(layer, fill, axes, options.Lattice);
        LayerCheck.RequireTrigger(layer, fill, options.Trigger);
        return new(fill, new LayerCharges(fill, options), axes) { TriggerPeriodSeconds = options.Trigger?.PeriodSeconds ?? 0 };
    }

    /// <summary>True if a figure's lines run along the sample's x axis.</summary>
    public bool LinesRunAlongX(in Figure figure) => AreaShape.LinesRunAlongX(figure, Fill.Direction);

    /// <summary>
    /// This plan with the codes where they stand near a part of a tilted or distorted field, and how far codes at the
    /// corners of the part are off that, in codes. Bounds in femtometres.
    /// </summary>
    public (LayerPlan Plan, double DeviationCodes) Near(double left, double bottom, double right, double top) =>
        Axes.Near(left, bottom, right, top) is (LayerAxes local, double deviation) ? (this with { Axes = local }, deviation) : (this, 0);

    /// <summary>Time between two edges of the trigger input; 0 without one.</summary>
    public double TriggerPeriodSeconds { get; init; }

    /// <summary>Time from the trigger's edge until a unit of a pass starts.</summary>
    public long AfterEdgePicoseconds(int pass) =>
        (long)Math.Round((Fill.TriggerDelaySeconds + (Fill.SpreadsPasses ? TriggerPeriodSeconds * pass / Passes : 0)) * PicosecondsPerSecond);

    /// <summary>How far a pass is shifted, in femtometres.</summary>
    public (long X, long Y) ShiftOf(int pass) => Fill.StaggersPasses ? Axes.PartOfCode((pass + 0.5) / Passes - 0.5) : (0, 0);
}
