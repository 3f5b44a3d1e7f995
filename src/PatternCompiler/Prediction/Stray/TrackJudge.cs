using System.Runtime.InteropServices;
using PatternCompiler.Instrument;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Prediction.Stray;

/// <summary>Judges what the beam leaves on its way along a jump: by the area under it, or alone.</summary>
internal sealed class TrackJudge
{
    private const int Parts = 64;

    // Judged alone, the ends of a jump count as exposed as far as the beam is wide.
    private const double EndsInDeviations = 3;
    private const double OutsideInDeviations = 6;

    // Of a beam that falls slowly.
    private const double ConstantsUntilOff = 16;

    // Where the pattern is looked for on both sides of a place.
    private const int GapDirections = 8;
    private const int GapSteps = 4;

    private readonly Machine machine;
    private readonly StrayWay way;
    private readonly BlankerEdges edges;
    private readonly double deviation;
    private readonly double forwardWeight;
    private readonly double onset;
    private readonly List<TrackPiece> pieces = [];

    /// <param name="machine">Blanker and beam.</param>
    /// <param name="way">How the deflection follows.</param>
    /// <param name="spread">Energy spread of the beam with its spot; the first term is a Gaussian.</param>
    /// <param name="onsetCoulombsPerSquareMetre">Dose of a large area at which the resist starts to react.</param>
    public TrackJudge(Machine machine, StrayWay way, SpreadFunction spread, double onsetCoulombsPerSquareMetre)
    {
        this.machine = machine;
        this.way = way;
        edges = BlankerEdges.Of(machine.Blanker, 1);
        deviation = spread.Terms[0].RangeNanometres / Math.Sqrt(2);
        forwardWeight = spread.WeightOf(0);
        onset = onsetCoulombsPerSquareMetre;
    }

    /// <summary>Charge that comes through on a piece of a track, in coulombs, and what lets it through.</summary>
    public double ChargeOf(in TrackPiece piece, in StrayTrack track, out StrayCause cause)
    {
        double current = machine.Beam.CurrentAmperes;
        if (!machine.Blanker.IsPresent)
        {
            cause = StrayCause.NoBlanker;
            return current * piece.Seconds;
        }

        double open = edges.ChargeWhileFalling(track.FullSeconds - piece.From, piece.Seconds);
        double leaked = (piece.Seconds - open) * machine.Blanker.FocusedLeakFraction;
        cause = open > (edges.AreSlow ? leaked : 0) ? StrayCause.LateBlanking : StrayCause.Leak;
        return current * (open + leaked);
    }

    /// <summary>Charge that leaks out of focus on a piece of a track, in coulombs.</summary>
    public double FogOf(in TrackPiece piece, in StrayTrack track) => machine.Blanker.LeaksFog
        ? machine.Beam.CurrentAmperes * machine.Blanker.LeakFraction * (piece.Seconds - edges.ChargeWhileFalling(track.FullSeconds - piece.From, piece.Seconds))
        : 0;

    /// <summary>Nothing of the beam that could draw a line comes through on a track.</summary>
    private bool IsOff(in StrayTrack track) =>
        machine.Blanker is { IsPresent: true, FocusedLeakFraction: 0 }
        && track.FullSeconds <= -ConstantsUntilOff * edges.Fall;

    private double OwnDose(in TrackPiece piece, double coulombs) =>
        piece.LengthNanometres > 0 ? forwardWeight * StrayDose.PeakOfPiece(coulombs, piece.LengthNanometres, deviation) : 0;

    /// <summary>What a jump prints over area that holds what all jumps and the pattern leave; null if nothing.</summary>
    /// <param name="track">Way of the beam.</param>
    /// <param name="area">Doses place by place.</param>
    /// <param name="pattern">Where the pattern lies, or null if lines around it are no less harmful.</param>
    /// <param name="all">Takes the doses that print nothing.</param>
    public StrayJump? Together(in StrayTrack track, StrayArea area, SampleWindow? pattern, StrayTally all)
    {
        double finest = area.PixelNanometres;
        pattern = pattern?.Widened(OutsideInDeviations * deviation);
        pieces.Clear();
        way.Divide(track, finest, pieces);
        var found = new StrayRuns(SpreadFunction.HalfMaximumWidthPerDeviation * deviation);
        foreach (ref readonly TrackPiece piece in CollectionsMarshal.AsSpan(pieces))
        {
            if (!area.TryLook(piece.X, piece.Y, out DoseAt dose))
            {
                all.Expose(dose.Jumps);
                found.Break();
                continue;
            }

            double under = dose.Pattern;
            bool prints = under < onset && under + dose.Jumps >= onset;
            if (prints && dose.Background + dose.Jumps < onset && !IsInGap(piece, area))
            {
                // The rim of a figure prints a little further out; that is no line.
                prints = false;
            }
            else if (prints && dose.Background + dose.Jumps >= onset)
            {
                under = dose.Background;
            }

            if (prints)
            {
                double own = OwnDose(piece, ChargeOf(piece, track, out StrayCause cause));
                double width = StrayDose.PrintedWidth(dose.Jumps, onset - under, deviation);
                found.Add(piece.X, piece.Y, piece.LengthNanometres, pattern is SampleWindow known && !known.Contains(piece.X, piece.Y), under + dose.Jumps, own, width, cause);
            }
            else
            {
                all.Expose(dose.Pattern < onset ? dose.Jumps : 0);
                found.Break();
            }
        }

        found.Break();
        return found.Length > 0 ? JumpOf(track, found) : null;
    }

    /// <summary>
    /// The pattern prints on both sides of a place within the beam's width: what prints there joins what was to be apart. Beside a
    /// figure that bulges nowhere no place is so.
    /// </summary>
    private bool IsInGap(in TrackPiece piece, StrayArea area)
    {
        double reach = SpreadFunction.HalfMaximumWidthPerDeviation * deviation;
        for (int direction = 0; direction < GapDirections; direction++)
        {
            (double sin, double cos) = Math.SinCos(Math.PI * direction / GapDirections);
            if (Prints(piece, cos, sin) && Prints(piece, -cos, -sin))
            {
                return true;
            }
        }

        return false;

        bool Prints(in TrackPiece from, double alongX, double alongY)
        {
            for (int step = 1; step <= GapSteps; step++)
            {
                double away = reach * step / GapSteps;
                if (area.PrintsBeside(from.X + away * alongX, from.Y + away * alongY))
                {
                    return true;
                }
            }

            return false;
        }
    }

    /// <summary>What a jump prints that is judged by its own dose, away from its ends; null if nothing.</summary>
    /// <param name="track">Way of the beam.</param>
    /// <param name="tally">Takes the doses that print nothing.</param>
    public StrayJump? Alone(in StrayTrack track, StrayTally tally)
    {
        double dx = track.GoalX - track.FromX;
        double dy = track.GoalY - track.FromY;
        double length = Math.Sqrt(dx * dx + dy * dy);
        double ends = EndsInDeviations * deviation;
        if (length <= 2 * ends || way.IsIdeal || IsOff(track))
        {
            return null;
        }

        pieces.Clear();
        way.Divide(track, length / Parts, pieces);
        var found = new StrayRuns(SpreadFunction.HalfMaximumWidthPerDeviation * deviation);
        foreach (ref readonly TrackPiece piece in CollectionsMarshal.AsSpan(pieces))
        {
            double own = OwnDose(piece, ChargeOf(piece, track, out StrayCause cause));
            bool isAtAnEnd = IsNear(piece, track.FromX, track.FromY, ends) || IsNear(piece, track.GoalX, track.GoalY, ends);
            if (isAtAnEnd || own < onset)
            {
                tally.Expose(isAtAnEnd ? 0 : own);
                found.Break();
            }
            else
            {
                found.Add(piece.X, piece.Y, piece.LengthNanometres, false, own, own, StrayDose.PrintedWidth(own, onset, deviation), cause);
            }
        }

        found.Break();
        return found.Length > 0 ? JumpOf(track, found) : null;
    }

    private static bool IsNear(in TrackPiece piece, double x, double y, double distance) =>
        (piece.X - x) * (piece.X - x) + (piece.Y - y) * (piece.Y - y) < distance * distance;

    private static StrayJump JumpOf(in StrayTrack track, StrayRuns found) => new(
        track.Record, track.FromX, track.FromY, track.GoalX, track.GoalY, found.PeakDose, found.OwnDose, found.Length, found.Width, found.Cause)
    {
        FromFigure = track.FromFigure,
        ToFigure = track.ToFigure,
        OutsideLengthNanometres = found.OutsideLength,
        Stretches = found.Stretches,
    };
}

/// <summary>One command of the deflection with the beam off, or as far off as it gets.</summary>
/// <param name="FromX">Where the beam really is, in nanometres.</param>
/// <param name="FromY">As <paramref name="FromX"/>.</param>
/// <param name="GoalX">Where it is sent.</param>
/// <param name="GoalY">As <paramref name="GoalX"/>.</param>
/// <param name="Seconds">Time until the next command.</param>
/// <param name="FullSeconds">How long the whole beam still comes through: what is left of the blanker's delay; below zero for how long it has been falling, or off.</param>
/// <param name="Record">Number of the record, 0-based.</param>
/// <param name="Jump">Number of the jump among all jumps.</param>
/// <param name="FromFigure">Figure exposed before, or −1.</param>
/// <param name="ToFigure">Figure exposed next, or −1.</param>
internal readonly record struct StrayTrack(
    double FromX, double FromY, double GoalX, double GoalY, double Seconds, double FullSeconds, long Record, long Jump, int FromFigure, int ToFigure)
{
    /// <summary>What is left of earlier moves at the start, part by part, x first; null for one time constant.</summary>
    public double[]? Left { get; init; }
}
