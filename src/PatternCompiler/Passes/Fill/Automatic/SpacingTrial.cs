using PatternCompiler.Instrument;

namespace PatternCompiler.Passes.Fill.Automatic;

/// <summary>
/// Compares pairs of line pitch and point step on one layer with the limits. With dose D, current I, pitch p and step s
/// a point dwells D·p·s/I and the beam runs at I/(D·p); n passes divide the dose.
/// </summary>
internal sealed class SpacingTrial
{
    /// <summary>Part of the link's rate that may be used; stated rates are rarely sustained (common practice, no source).</summary>
    public const double UsablePartOfLink = 0.8;

    /// <summary>Part of a spot below which a finer spacing changes nothing: lines a quarter of a width apart ripple by 4·10⁻²⁵.</summary>
    public const double FinestPartOfSpot = 0.25;

    /// <summary>Part of a spot by which the beam may lag behind: turning points of lines then stay within the spot.</summary>
    public const double LargestLagInSpots = 0.5;

    /// <summary>Regular points over the shortest dwell where there is a reserve: weighted points may have 2/5 of the dose.</summary>
    public const double Reserve = 2.5;

    /// <summary>Ticks of a regular point where there is a reserve: half a tick is 4% of its dose.</summary>
    public const double FewestTicks = 12;

    private const int MostCodes = 1 << 24;

    // Doses, currents and lengths are decimal numbers that meet a limit exactly more often than not; their products in binary miss it
    // by some 10⁻¹⁶, and points of 2.5 us would be too short for a shortest dwell of 2.5 us.
    private const double PartOfRounding = 1e-12;

    private readonly SpacingLimits limits;
    private readonly LayerDemand demand;
    private readonly double coulombsPerSquareNanometre;
    private readonly double coulombsPerNanometre;
    private readonly bool hasReserve;
    private readonly bool choosesPitch;
    private readonly bool choosesStep;

    // The sample distances of one code across and along the lines, for every direction in which lines may run.
    private readonly (double Across, double Along)[] units;

    public SpacingTrial(SpacingLimits limits, CodeLattice lattice, LayerFill fill, LayerDemand demand, LayerDoses doses, bool hasReserve)
    {
        const double FemtometresPerNanometre = 1e6;
        this.limits = limits;
        this.demand = demand;

        // Each pass has its part.
        const double NanometresPerMetre = 1e9;
        double factor = doses.Factor / fill.Passes;
        coulombsPerSquareNanometre = doses.AreaCoulombsPerSquareMetre * factor / (NanometresPerMetre * NanometresPerMetre);
        coulombsPerNanometre = doses.LineCoulombsPerMetre * factor / NanometresPerMetre;
        this.hasReserve = hasReserve;
        choosesPitch = fill.LinePitch.IsAutomatic;
        choosesStep = fill.PointStep.IsAutomatic;
        double x = lattice.X.StepFemtometres / FemtometresPerNanometre;
        double y = lattice.Y.StepFemtometres / FemtometresPerNanometre;
        units = fill.Direction switch
        {
            FillDirection.Y => [(x, y)],
            FillDirection.X => [(y, x)],
            _ when fill.Strategy.SharesPixels || x == y => [(y, x)],
            _ => [(y, x), (x, y)],
        };
    }

    /// <summary>True if a value is below a limit by more than rounding: a limit that is met exactly is met.</summary>
    public static bool IsBelow(double value, double limit) => value < limit * (1 - PartOfRounding);

    /// <summary>True if a value is above a limit by more than rounding.</summary>
    public static bool IsAbove(double value, double limit) => value > limit * (1 + PartOfRounding);

    /// <summary>What a pair means.</summary>
    public SpacingEffect Try(Spacing pitch, Spacing step)
    {
        (double leastPitch, double mostPitch) = Range(pitch, unit => unit.Across);
        (double leastStep, double mostStep) = Range(step, unit => unit.Along);
        double leastCell = double.PositiveInfinity;
        double mostCell = 0;
        foreach ((double across, double along) in units)
        {
            double cell = Length(pitch, across) * Length(step, along);
            leastCell = Math.Min(leastCell, cell);
            mostCell = Math.Max(mostCell, cell);
        }

        double shortest = double.PositiveInfinity;
        double longest = 0;
        double speed = 0;
        double link = 0;
        if (demand.HasAreas)
        {
            double lowest = coulombsPerSquareNanometre * demand.LowestAreaFactor;
            shortest = lowest * leastCell / limits.LargestCurrentAmperes;
            longest = coulombsPerSquareNanometre * demand.HighestAreaFactor * mostCell / limits.SmallestCurrentAmperes;
            speed = limits.LargestCurrentAmperes / (lowest * leastPitch);
            double seconds = coulombsPerSquareNanometre * demand.WeightedSquareNanometres / limits.LargestCurrentAmperes;
            link = limits.BytesPerLine > 0 ? limits.BytesPerLine * demand.ExtentNanometres / leastPitch / seconds : 0;
        }

        if (demand.HasLines)
        {
            double lowest = coulombsPerNanometre * demand.LowestLineFactor;
            shortest = Math.Min(shortest, lowest * leastStep / limits.LargestCurrentAmperes);
            longest = Math.Max(longest, coulombsPerNanometre * demand.HighestLineFactor * mostStep / limits.SmallestCurrentAmperes);
            speed = Math.Max(speed, SpeedOfSingleLines);
        }

        link = limits.BytesPerLine > 0 ? link : limits.BytesPerPoint / shortest;
        var effect = new SpacingEffect(
            pitch,
            step,
            mostPitch,
            mostStep,
            double.IsInfinity(shortest) ? 0 : shortest,
            longest,
            speed,
            speed * limits.LagSeconds,
            link,
            demand.HasAreas ? EvenLines.Ripple(limits.BlurDeviationNanometres, mostPitch) : 0,
            EvenLines.Ripple(limits.BlurDeviationNanometres, mostStep),
            SpacingRule.None);
        SpacingRule below = FinenessFault(effect, leastPitch, leastStep);
        return effect with { Breaks = below != SpacingRule.None ? below : CoarsenessFault(effect) };
    }

    /// <summary>True if the pair is coarse enough for clock, deflection and link.</summary>
    public bool IsCoarseEnough(Spacing pitch, Spacing step) =>
        Try(pitch, step).Breaks is SpacingRule.None or SpacingRule.LongestDwell or SpacingRule.Evenness;

    /// <summary>The largest number of codes at which the dose is still even, at least 1.</summary>
    public int WidestCodes()
    {
        double widest = EvenLines.WidestPitch(limits.BlurDeviationNanometres, EvenLines.LargestRipple);
        double code = units.Max(unit => Math.Max(unit.Across, unit.Along));
        return (int)Math.Clamp(Math.Floor(widest / code), 1, MostCodes);
    }

    /// <summary>True if the beam on single lines, whose speed no spacing changes, is too fast for the deflection.</summary>
    public bool SingleLinesAreTooFast => demand.HasLines
        && (IsAbove(SpeedOfSingleLines, limits.FastestNanometresPerSecond)
            || IsAbove(SpeedOfSingleLines * limits.LagSeconds, LargestLagInSpots * limits.SpotNanometres));

    private double SpeedOfSingleLines => limits.LargestCurrentAmperes / (coulombsPerNanometre * demand.LowestLineFactor);

    private double ShortestDwellSeconds => limits.ShortestDwellTicks * (hasReserve ? Reserve : 1) / limits.ClockHertz;

    private double FewestTicksSeconds => (hasReserve ? FewestTicks : 0) / limits.ClockHertz;

    private SpacingRule FinenessFault(SpacingEffect effect, double leastPitch, double leastStep)
    {
        double finest = FinestPartOfSpot * limits.SpotNanometres;
        bool hasPoints = demand.HasAreas || demand.HasLines;
        return hasPoints && IsBelow(effect.ShortestDwellSeconds, ShortestDwellSeconds) ? SpacingRule.ShortestDwell
            : hasPoints && IsBelow(effect.ShortestDwellSeconds, FewestTicksSeconds) ? SpacingRule.ClockTick
            : IsAbove(effect.NanometresPerSecond, limits.FastestNanometresPerSecond) ? SpacingRule.DeflectionSpeed
            : IsAbove(effect.LagNanometres, LargestLagInSpots * limits.SpotNanometres) ? SpacingRule.DeflectionLag
            : IsAbove(effect.LinkBytesPerSecond, UsablePartOfLink * limits.LinkBytesPerSecond) ? SpacingRule.Link
            : (choosesPitch && IsBelow(leastPitch, finest)) || (choosesStep && IsBelow(leastStep, finest)) ? SpacingRule.Spot
            : SpacingRule.None;
    }

    private SpacingRule CoarsenessFault(SpacingEffect effect) =>
        IsAbove(effect.LongestDwellSeconds, limits.LongestDwellTicks / limits.ClockHertz) ? SpacingRule.LongestDwell
        : (choosesPitch && IsAbove(effect.RippleAcross, EvenLines.LargestRipple)) || (choosesStep && IsAbove(effect.RippleAlong, EvenLines.LargestRipple)) ? SpacingRule.Evenness
        : SpacingRule.None;

    private (double Least, double Most) Range(Spacing spacing, Func<(double Across, double Along), double> unit) =>
        (Length(spacing, units.Min(unit)), Length(spacing, units.Max(unit)));

    private static double Length(Spacing spacing, double nanometresPerCode) =>
        spacing.IsInCodes ? spacing.Codes * nanometresPerCode : spacing.Nanometres;
}
