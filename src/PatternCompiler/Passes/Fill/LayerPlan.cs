using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fill.Automatic;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fill;

/// <summary>A layer's settings in femtometres and zeptocoulombs.</summary>
internal sealed class LayerPlan
{
    private const double FemtometresPerNanometre = 1e6;
    private const double ZeptocoulombsPerCoulomb = 1e21;
    private const int MostPasses = 1000;
    private const int MostSteps = 1 << 20;

    private readonly LayerFill fill;
    private readonly CodeLattice? lattice;
    private readonly DacMapping? unevenField;
    private readonly SpacingLimits? limits;
    private AxisPlan pitchAlongX;
    private AxisPlan pitchAlongY;
    private AxisPlan stepAlongX;
    private AxisPlan stepAlongY;

    // The widest distance of points that still gives an even dose, in femtometres.
    private readonly double widestStep;

    public LayerPlan(string layer, LayerFill fill, FillOptions options)
    {
        this.fill = fill;
        lattice = options.Lattice;
        RequireSpacing(layer, "line pitch", fill.LinePitch);
        RequireSpacing(layer, "point step", fill.PointStep);
        RequireCount(layer, "number of passes", fill.Passes);
        RequireCount(layer, "interlace", fill.Interlace);
        unevenField = options.UnevenField;
        Resolve(lattice);
        RequireStaggering(layer);
        AreaDensity = (fill.AreaDoseCoulombsPerSquareMetre ?? options.AreaDoseCoulombsPerSquareMetre) * fill.DoseFactor.Value * ZeptocoulombsPerCoulomb * 1e-30;
        LineDensity = (fill.LineDoseCoulombsPerMetre ?? options.LineDoseCoulombsPerMetre) * fill.DoseFactor.Value * ZeptocoulombsPerCoulomb * 1e-15;
        DotCharge = (fill.DotChargeCoulombs ?? options.DotChargeCoulombs) * fill.DoseFactor.Value * ZeptocoulombsPerCoulomb;
        limits = options.Limits;
        widestStep = limits is not null
            ? EvenLines.WidestPitch(limits.BlurDeviationNanometres, SpacingTrial.LargestRipple) * FemtometresPerNanometre
            : double.PositiveInfinity;
        SmallestPointCharge = (long)Math.Ceiling(options.SmallestPointChargeCoulombs * ZeptocoulombsPerCoulomb);
        SmallestStretchCharge = Math.Max(SmallestPointCharge, options.SmallestStretchChargeCoulombs * ZeptocoulombsPerCoulomb);
    }

    /// <summary>Base dose of areas in zeptocoulombs per square femtometre.</summary>
    public double AreaDensity { get; }

    /// <summary>Base dose of single lines in zeptocoulombs per femtometre.</summary>
    public double LineDensity { get; }

    /// <summary>Base charge of dots in zeptocoulombs.</summary>
    public double DotCharge { get; }

    /// <summary>Least charge of a point, 0 where it does not matter.</summary>
    public long SmallestPointCharge { get; }

    /// <summary>Least charge between two jumps.</summary>
    public double SmallestStretchCharge { get; }

    /// <summary>Charge of half a clock tick in zeptocoulombs, 0 where the clock is not known.</summary>
    public double HalfTickCharge => limits is null ? 0 : limits.LargestCurrentAmperes * ZeptocoulombsPerCoulomb / limits.ClockHertz / 2;

    /// <summary>How often everything is written.</summary>
    public int Passes => fill.Passes;

    /// <summary>Every how many lines one is written before the next round.</summary>
    public int Interlace => fill.Interlace;

    public bool IsRaster => fill.Strategy is FillStrategy.Raster or FillStrategy.OneWayRaster;

    /// <summary>True if areas are written along their outlines.</summary>
    public bool FollowsContours => fill.Strategy is FillStrategy.ContourThenLines or FillStrategy.InwardContours;

    /// <summary>True if contours go on to the middle, false if there is one along the edge.</summary>
    public bool ContoursReachInward => fill.Strategy == FillStrategy.InwardContours;

    /// <summary>True if pixels of a raster are on or off, false if they are grey by the area that is covered.</summary>
    public bool TestsCentres => fill.Placement == CodePlacement.Centre;

    public bool IsOneWay => fill.Strategy is FillStrategy.OneWayLines or FillStrategy.OneWayRaster;

    /// <summary>True if the lines run along x: always in a raster, unless the direction is y.</summary>
    public bool RasterRunsAlongX => fill.Direction != FillDirection.Y;

    /// <summary>True if a figure's lines run along the sample's x axis.</summary>
    public bool LinesRunAlongX(in Figure figure) => fill.Direction switch
    {
        FillDirection.X => true,
        FillDirection.Y => false,
        _ => AreaShape.IsWiderThanHigh(figure),
    };

    /// <summary>Spacing of the lines.</summary>
    public AxisPlan Pitch(bool linesAlongX) => linesAlongX ? pitchAlongY : pitchAlongX;

    /// <summary>Spacing of the points along a line.</summary>
    public AxisPlan Step(bool linesAlongX) => linesAlongX ? stepAlongX : stepAlongY;

    /// <summary>True if points stand on codes whose places change across the field.</summary>
    public bool IsUneven => unevenField is not null && (pitchAlongX.Rule != AxisRule.Free || stepAlongX.Rule != AxisRule.Free);

    /// <summary>
    /// This plan with the codes where they stand near a part of a tilted or distorted field, and how far codes at the
    /// corners of the part are off that, in codes. Bounds in femtometres.
    /// </summary>
    public (LayerPlan Plan, double DeviationCodes) Near(double left, double bottom, double right, double top)
    {
        if (!IsUneven || LocalLattice.Of(unevenField!, left, bottom, right, top) is not LocalLattice local)
        {
            return (this, 0);
        }

        var plan = (LayerPlan)MemberwiseClone();
        plan.Resolve(local.Lattice);
        return (plan, local.DeviationCodes);
    }

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
        if (density * cell >= SmallestPointCharge || AreaDensity / Passes * cell < SmallestPointCharge)
        {
            return 1;
        }

        double steps = Math.Ceiling(SmallestPointCharge / (density * cell));
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
        if (limits is not null && pointCharge <= SmallestPointCharge - 1)
        {
            double ticksPerZeptocoulomb = limits.ClockHertz / (limits.LargestCurrentAmperes * ZeptocoulombsPerCoulomb);
            ScaleFault.ThrowRegularTooShort(
                figure, pointCharge * ticksPerZeptocoulomb, limits.ShortestDwellTicks, limits.ClockHertz, limits.LargestCurrentAmperes);
        }
    }

    /// <summary>How far a pass is shifted, in femtometres.</summary>
    public (long X, long Y) ShiftOf(int pass)
    {
        if (!fill.StaggersPasses || lattice is null)
        {
            return (0, 0);
        }

        double codes = (pass + 0.5) / Passes - 0.5;
        return ((long)Math.Round(codes * lattice.X.StepFemtometres), (long)Math.Round(codes * lattice.Y.StepFemtometres));
    }

    private void Resolve(CodeLattice? codes)
    {
        pitchAlongX = Resolve(fill.LinePitch, codes?.X);
        pitchAlongY = Resolve(fill.LinePitch, codes?.Y);
        stepAlongX = Resolve(fill.PointStep, codes?.X);
        stepAlongY = Resolve(fill.PointStep, codes?.Y);
    }

    private AxisPlan Resolve(Spacing spacing, CodeAxis? codeAxis)
    {
        if (codeAxis is not CodeAxis axis)
        {
            return new(AxisRule.Free, spacing.Nanometres * FemtometresPerNanometre, default, default);
        }

        double distance = spacing.IsInCodes ? spacing.Codes * axis.StepFemtometres : spacing.Nanometres * FemtometresPerNanometre;
        var codes = new PointGrid(axis.OriginFemtometres, axis.StepFemtometres);
        AxisRule rule = fill.Placement switch
        {
            CodePlacement.Rounded => AxisRule.Free,
            CodePlacement.Centre => spacing.IsInCodes ? AxisRule.Centre : AxisRule.Free,
            CodePlacement.Weighted => spacing.IsInCodes ? AxisRule.Shared : AxisRule.Spread,
            _ => spacing.IsInCodes ? AxisRule.Shared : AxisRule.Free,
        };
        return new(rule, distance, codes, codes with { Step = distance });
    }

    private void RequireStaggering(string layer)
    {
        if (!fill.StaggersPasses)
        {
            return;
        }

        if (lattice is null)
        {
            throw new CompileException(
                FillCodes.NoLattice,
                $"the passes of layer {layer} are to be staggered by parts of a code, but no machine says how large a code is",
                fix: "name the machine, or do not stagger the passes");
        }

        if (stepAlongX.Rule != AxisRule.Free || pitchAlongX.Rule != AxisRule.Free)
        {
            throw new CompileException(
                FillCodes.BadSetting,
                $"the passes of layer {layer} are to be staggered, but its lines or points stand on codes already",
                fix: "choose the rounded placement, or do not stagger the passes");
        }
    }

    private static void RequireCount(string layer, string what, int count)
    {
        if (count is < 1 or > MostPasses)
        {
            throw new CompileException(
                FillCodes.BadSetting, $"the {what} of layer {layer} is {count}", fix: $"give a number from 1 to {MostPasses}");
        }
    }

    private void RequireSpacing(string layer, string what, Spacing spacing)
    {
        if (spacing.IsInCodes && lattice is null)
        {
            throw new CompileException(
                FillCodes.NoLattice,
                $"the {what} of layer {layer} is {spacing.Codes} codes, but no machine says how large a code is",
                fix: "name the machine, or give the spacing in nanometres");
        }

        if (!spacing.IsInCodes && fill.Placement == CodePlacement.Centre && !IsRaster)
        {
            throw new CompileException(
                FillCodes.BadSetting,
                $"the {what} of layer {layer} is a length, but the centre rule places on codes",
                fix: "give the spacing in codes, or choose another placement");
        }

        if (fill.Placement == CodePlacement.Weighted && lattice is null)
        {
            throw new CompileException(
                FillCodes.NoLattice,
                $"layer {layer} is to be placed on codes, but no machine says where codes stand",
                fix: "name the machine, or choose another placement");
        }

        // 1 pm is far below anything a beam resolves; smaller values are unit mistakes that would only run out of memory.
        if (spacing.IsInCodes ? spacing.Codes < 1 : !(spacing.Nanometres >= 0.001))
        {
            string found = spacing.IsInCodes ? $"{spacing.Codes} codes" : $"{NumberText.Format(spacing.Nanometres)} nm";
            throw new CompileException(
                FillCodes.BadSetting,
                $"the {what} of layer {layer} is {found}",
                fix: "give a spacing of at least 0.001 nm or 1 code");
        }
    }
}
