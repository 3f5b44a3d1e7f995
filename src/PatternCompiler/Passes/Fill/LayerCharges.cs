using PatternCompiler.Diagnostics;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Passes.Fill;

/// <summary>What the figures of a layer ask for, and what a point must have at least, in femtometres and zeptocoulombs.</summary>
internal sealed class LayerCharges
{
    private const double FemtometresPerNanometre = 1e6;
    private const double ZeptocoulombsPerCoulomb = 1e21;
    private const int MostSteps = 1 << 20;

    private readonly SpacingLimits? limits;
    private readonly int passes;

    // The widest distance of points that still gives an even dose, in femtometres.
    private readonly double widestStep;

    public LayerCharges(LayerFill fill, FillOptions options)
    {
        LayerDoses doses = options.DosesOf(fill);
        AreaDensity = doses.AreaCoulombsPerSquareMetre * doses.Factor * ZeptocoulombsPerCoulomb * 1e-30;
        LineDensity = doses.LineCoulombsPerMetre * doses.Factor * ZeptocoulombsPerCoulomb * 1e-15;
        DotCharge = doses.DotCoulombs * doses.Factor * ZeptocoulombsPerCoulomb;
        passes = fill.Passes;
        limits = options.Limits;
        widestStep = limits is not null
            ? EvenLines.WidestPitch(limits.BlurDeviationNanometres, EvenLines.LargestRipple) * FemtometresPerNanometre
            : double.PositiveInfinity;
        SmallestPoint = (long)Math.Ceiling(options.SmallestPointChargeCoulombs * ZeptocoulombsPerCoulomb);
        SmallestSegment = Math.Max(SmallestPoint, options.SmallestSegmentChargeCoulombs * ZeptocoulombsPerCoulomb);
    }

    /// <summary>Base dose of areas in zeptocoulombs per square femtometre.</summary>
    public double AreaDensity { get; }

    /// <summary>Base dose of single lines in zeptocoulombs per femtometre.</summary>
    public double LineDensity { get; }

    /// <summary>Base charge of dots in zeptocoulombs.</summary>
    public double DotCharge { get; }

    /// <summary>Least charge of a point, 0 where it does not matter.</summary>
    public long SmallestPoint { get; }

    /// <summary>Least charge between two jumps.</summary>
    public double SmallestSegment { get; }

    /// <summary>Charge of half a clock tick, 0 where the clock is not known.</summary>
    public double HalfTick => limits is null ? 0 : limits.LargestCurrentAmperes * ZeptocoulombsPerCoulomb / limits.ClockHertz / 2;

    /// <summary>
    /// How many steps the points of an area must be apart so that none is below the smallest charge: 1, unless the
    /// area's dose is lower than the layer's. Where even the layer's own dose is too low for the spacing, or where the
    /// points would be so far apart that they show, it stays 1: the settings are wrong, and an error tells so.
    /// </summary>
    /// <param name="density">Dose of the area in zeptocoulombs per square femtometre.</param>
    /// <param name="area">The area.</param>
    /// <param name="rows">Spacing of the lines.</param>
    /// <param name="columns">Spacing of the points.</param>
    public int StepsBetweenPoints(double density, double area, in AxisPlan rows, in AxisPlan columns)
    {
        double cell = rows.Spacing * columns.Spacing;
        if (density * cell >= SmallestPoint || AreaDensity / passes * cell < SmallestPoint)
        {
            return 1;
        }

        double steps = Math.Ceiling(SmallestPoint / (density * cell));
        bool isUnseen = steps * columns.Spacing <= widestStep || area <= widestStep * widestStep;
        return isUnseen && steps <= MostSteps ? (int)steps : 1;
    }

    /// <summary>
    /// Throws if regular points of an area are below the smallest charge. On codes the points along its edges have less still,
    /// so that no beam could write it; scaling would find one of those first, and tell nothing of use.
    /// </summary>
    /// <param name="pointCharge">Charge of a regular point in zeptocoulombs.</param>
    /// <param name="figure">The area.</param>
    /// <exception cref="CompileException">They are, and the machine's clock and beam are known.</exception>
    public void RequireDwell(double pointCharge, int figure)
    {
        // The smallest charge is rounded up to a whole zeptocoulomb.
        if (limits is not null && pointCharge <= SmallestPoint - 1)
        {
            double ticksPerZeptocoulomb = limits.ClockHertz / (limits.LargestCurrentAmperes * ZeptocoulombsPerCoulomb);
            ScaleFault.ThrowRegularTooShort(
                figure, pointCharge * ticksPerZeptocoulomb, limits.ShortestDwellTicks, limits.ClockHertz, limits.LargestCurrentAmperes);
        }
    }
}
