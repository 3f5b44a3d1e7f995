using System.Runtime.InteropServices;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Passes.Route;

/// <summary>
/// Follows the beam along a way, with the timing that scaling will give it, and judges what it would print on the area:
/// along its track, and around the places where it rests.
/// </summary>
internal sealed class RouteTrial
{
    // A deflection is known to a few percent at best: a way must be clean if it is this much slower or faster, too.
    private const double Uncertainty = 0.05;

    // What the beam may be off when it arrives at speed at the place where exposing starts.
    private const double LargestMissInDeviations = 0.25;

    // Around a rest the pattern's own flank adds to the dose.
    private const double OnsetPartAtRests = 0.5;
    private readonly RouteArea area;
    private readonly RouteOptions options;
    private readonly SettleTime settling;
    private readonly DacMapping mapping;
    private readonly AxisResponse[] responses;
    private readonly double deviation;
    private readonly double forwardWeight;
    private readonly double tick;
    private readonly List<TrackPiece> pieces = [];

    public RouteTrial(RouteArea area, RouteOptions options)
    {
        this.area = area;
        this.options = options;
        mapping = new DacMapping(options.Scale.Dac, options.Scale.Deflection);
        settling = new SettleTime(options.Scale.Settle, options.Scale.Clock.Hertz, mapping);
        responses = [ResponseAt(1), ResponseAt(1 - Uncertainty), ResponseAt(1 + Uncertainty)];
        deviation = options.Spread.Terms[0].RangeNanometres / Math.Sqrt(2);
        forwardWeight = options.Spread.WeightOf(0);
        tick = 1 / options.Scale.Clock.Hertz;
    }

    /// <summary>Places looked at so far.</summary>
    public long Looks { get; private set; }

    /// <summary>Dose of a track at the deflection's full speed, or at that of a jump of some length where it has no speed limit.</summary>
    public double DoseAtSpeed(double nanometres)
    {
        double slew = options.Scale.Settle.SlewNanometresPerSecond;
        double speed = slew > 0 ? slew : nanometres / options.Scale.Settle.TimeConstantSeconds;
        return StrayDose.PeakOfTrack(options.StrayAmperes, speed, deviation);
    }

    /// <summary>How deep inside exposed areas the beam must lie to rest there for the settling time of a long jump.</summary>
    public double DepthForRest(double nanometres) => PrintedRadius(options.StrayAmperes * SettleTicks(nanometres, nanometres) * tick);

    /// <summary>True if the beam may arrive at a place at speed from so far away: what it can be off is small when exposing starts.</summary>
    public bool MayArriveAtSpeed(double nanometres)
    {
        double tau = options.Scale.Settle.TimeConstantSeconds;
        double rest = tau > 0 ? Math.Exp(-options.Scale.Settle.FixedSeconds / tau) : 0;
        return nanometres * Uncertainty * rest <= LargestMissInDeviations * deviation;
    }

    /// <summary>
    /// A pass that has the beam at a place when it goes on: aimed beyond it by the part of the way that is left then, or as
    /// far as the converters reach.
    /// </summary>
    public RouteStep PassAt((double X, double Y) from, (double X, double Y) to)
    {
        for (double beyond = 1 / SettleTime.PassedPart; beyond > 1; beyond -= 1.0 / 24)
        {
            (double X, double Y) aim = (from.X + beyond * (to.X - from.X), from.Y + beyond * (to.Y - from.Y));
            if (IsInField(aim.X, aim.Y))
            {
                return new RouteStep(aim.X, aim.Y, true);
            }
        }

        return new RouteStep(to.X, to.Y, true);
    }

    /// <summary>Where the beam is at the end of a step, if the deflection is as stated.</summary>
    public (double X, double Y) After((double X, double Y) from, in RouteStep step)
    {
        if (!step.IsPassed)
        {
            return (step.X, step.Y);
        }

        double seconds = TicksOf(from, step) * tick;
        return (step.X + responses[0].After(from.X - step.X, seconds), step.Y + responses[0].After(from.Y - step.Y, seconds));
    }

    /// <summary>Judges a way as it is expected and, where it has passes, with a slower and a faster deflection.</summary>
    /// <param name="from">Where the beam is.</param>
    /// <param name="steps">The moves.</param>
    /// <param name="enough">A score that does more harm ends the trial early.</param>
    public RouteScore Judge((double X, double Y) from, ReadOnlySpan<RouteStep> steps, double enough = double.PositiveInfinity)
    {
        RouteScore score = Follow(responses[0], from, steps, enough, isLaying: false);
        for (int i = 1; i < responses.Length && steps.Length > 1 && score.Harm <= enough; i++)
        {
            score = score.Worse(Follow(responses[i], from, steps, enough, isLaying: false));
        }

        return score;
    }

    /// <summary>Lays the dose of a way on the area.</summary>
    public void Lay((double X, double Y) from, ReadOnlySpan<RouteStep> steps) =>
        Follow(responses[0], from, steps, double.PositiveInfinity, isLaying: true);

    private RouteScore Follow(AxisResponse response, (double X, double Y) from, ReadOnlySpan<RouteStep> steps, double enough, bool isLaying)
    {
        var harm = new HarmAlongWay(SpreadFunction.HalfMaximumWidthPerDeviation * deviation);
        (double X, double Y) start = from;
        (double X, double Y) expected = from;
        foreach (ref readonly RouteStep step in steps)
        {
            long ticks = TicksOf(expected, step);
            expected = After(expected, step);
            pieces.Clear();
            from = JumpTrack.Divide(response, from.X, from.Y, step.X, step.Y, ticks * tick, area.CellNanometres, pieces);
            Looks += pieces.Count;
            double restSeconds = 0;
            foreach (ref readonly TrackPiece piece in CollectionsMarshal.AsSpan(pieces))
            {
                int cell = area.CellAt(piece.X, piece.Y);
                bool isAtRest = !step.IsPassed && IsNear(piece, step.X, step.Y, deviation);
                restSeconds += isAtRest ? piece.Seconds : 0;
                double dose = isAtRest || piece.LengthNanometres == 0 ? 0 : StrayDose.PeakOfPiece(options.StrayAmperes * piece.Seconds, piece.LengthNanometres, deviation);
                if (isLaying)
                {
                    area.Lay(cell, dose, piece.LengthNanometres);
                }
                else
                {
                    bool counts = !isAtRest && !IsNear(piece, start.X, start.Y, area.CellNanometres);
                    harm.Add(
                        piece.LengthNanometres,
                        area.IsOutside(piece.X, piece.Y),
                        counts && area.Prints(cell, dose),
                        counts && area.ComesClose(cell, dose));
                }
            }

            if (!step.IsPassed && !area.IsOutside(step.X, step.Y))
            {
                double coulombs = options.StrayAmperes * restSeconds;
                harm.AddRest(PrintedRadius(coulombs) - area.DepthOf(area.CellAt(step.X, step.Y)));
            }

            if (harm.Harm > enough)
            {
                break;
            }
        }

        harm.End();
        return harm.ToScore();
    }

    private long TicksOf((double X, double Y) from, in RouteStep step) => step.IsPassed
        ? settling.TicksToPass(step.X - from.X, step.Y - from.Y, options.Scale.Clock.MinimumDwellTicks)
        : SettleTicks(step.X - from.X, step.Y - from.Y);

    private long SettleTicks(double x, double y) => settling.TicksAfter(
        (long)Math.Ceiling(Math.Abs(x / mapping.NanometresPerCodeX)), (long)Math.Ceiling(Math.Abs(y / mapping.NanometresPerCodeY)));

    /// <summary>A resting beam leaves a Gaussian of peak Q/(2πσ²).</summary>
    private double PeakOfRest(double coulombs) => forwardWeight * coulombs / (2 * Math.PI * deviation * deviation * 1e-18);

    private double PrintedRadius(double coulombs)
    {
        double peak = PeakOfRest(coulombs);
        double onset = OnsetPartAtRests * options.OnsetCoulombsPerSquareMetre;
        return peak > onset ? deviation * Math.Sqrt(2 * Math.Log(peak / onset)) : 0;
    }

    private static bool IsNear(in TrackPiece piece, double x, double y, double reach) =>
        (piece.X - x) * (piece.X - x) + (piece.Y - y) * (piece.Y - y) < reach * reach;

    private bool IsInField(double x, double y)
    {
        const double FemtometresPerNanometre = 1e6;
        (double codeX, double codeY) = mapping.CodesAt((long)(x * FemtometresPerNanometre), (long)(y * FemtometresPerNanometre));
        return mapping.Reaches(codeX, codeY);
    }

    private AxisResponse ResponseAt(double factor) => new(
        options.Scale.Settle.TimeConstantSeconds * factor, options.Scale.Settle.SlewNanometresPerSecond / factor);
}

/// <summary>One move on a way with the beam off.</summary>
/// <param name="X">Where the beam is sent, in nanometres.</param>
/// <param name="Y">As <paramref name="X"/>.</param>
/// <param name="IsPassed">It goes on at speed; otherwise it settles there.</param>
internal readonly record struct RouteStep(double X, double Y, bool IsPassed);
