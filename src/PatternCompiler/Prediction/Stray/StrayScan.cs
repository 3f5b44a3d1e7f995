using System.Collections.Immutable;
using System.Runtime.InteropServices;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Prediction.Stray;

/// <summary>
/// Looks at every jump of a records document as it streams by, and finds those that would draw a line: because the blanker
/// leaks, is late, or is missing. The beam slows down exponentially near its goal, where a leak does most harm; a late blanker
/// does its harm where the jump begins.
/// </summary>
/// <remarks>
/// Where some of the beam always comes through, what all jumps leave is added up place by place, together with the pattern's
/// own exposure and its background: a jump over what is exposed anyway prints nothing, and tracks that lie over each
/// other count together. The blurred rim of a figure counts only where a jump joins two figures: elsewhere what is added moves
/// the figure's edge, and no line comes of it. Otherwise, and where the maps would not fit memory, each jump is judged alone.
/// </remarks>
internal sealed class StrayScan : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private const int PointsAtOnce = 1024;
    private const int MostTracks = 1 << 21;
    private const int PathParts = 16;

    private readonly Machine machine;
    private readonly StrayWay way;
    private readonly SpreadFunction spread;
    private readonly JumpFigures? figures;
    private readonly TrackJudge judge;
    private readonly double onset;
    private readonly BlankerEdges edges;

    // Of jumps that were judged alone, and of write fields that are done.
    private readonly StrayTally tally = new();
    private readonly List<StrayTrack> tracks = [];
    private readonly List<TrackPiece> pieces = [];
    private readonly LinePoint[] points = new LinePoint[PointsAtOnce];
    private StrayArea? area;
    private bool isAlone;
    private string? field;
    private SamplePlane plane;
    private double fieldSquareNanometres;
    private double tick;
    private (double X, double Y) command;
    private bool hasPlace;
    private double fullSeconds = double.NegativeInfinity;
    private int marked = -1;
    private int exposed = -1;
    private int unmarkedTracks;
    private double left = double.PositiveInfinity;
    private double bottom = double.PositiveInfinity;
    private double right = double.NegativeInfinity;
    private double top = double.NegativeInfinity;
    private long records;
    private long jumps;

    /// <summary>Prepares a scan.</summary>
    /// <param name="machine">Blanker, beam and deflection.</param>
    /// <param name="spread">Energy spread of the beam with its spot; the first term is a Gaussian.</param>
    /// <param name="onsetCoulombsPerSquareMetre">Dose of a large area at which the resist starts to react.</param>
    /// <param name="figures">Tells the figures that jumps connect, for records without markers.</param>
    public StrayScan(Machine machine, SpreadFunction spread, double onsetCoulombsPerSquareMetre, JumpFigures? figures = null)
    {
        this.machine = machine;
        this.spread = spread;
        this.figures = figures;
        way = new StrayWay(machine.Settle);
        judge = new TrackJudge(machine, way, spread, onsetCoulombsPerSquareMetre);
        onset = onsetCoulombsPerSquareMetre;
        edges = BlankerEdges.Of(machine.Blanker, 1);
    }

    /// <summary>A scan for a machine and a resist; the spot alone where the resist's spread is not known.</summary>
    public static StrayScan For(Machine machine, Resist resist, JumpFigures? figures = null) =>
        new(machine, resist.SpreadWith(machine.Beam), resist.Response.OnsetCoulombsPerSquareMetre, figures);

    /// <summary>True if some of the beam comes through on every jump of a machine, so that what jumps leave adds up.</summary>
    public static bool AlwaysExposes(Machine machine) =>
        (!machine.Blanker.IsPresent || machine.Blanker.LeakFraction > 0 || (machine.Blanker.OffDelaySeconds > 0 && !machine.Blanker.IsCompensated))
        && (machine.Settle.TimeConstantSeconds > 0 || machine.Settle.SlewNanometresPerSecond > 0);

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        plane = new SamplePlane(header);
        tick = 1 / header.ClockHertz;
        double codes = header.Dac.CodeCount;
        fieldSquareNanometres = plane.StepAlongX * codes * plane.StepAlongY * codes;
        LookAtBareArea();
    }

    /// <summary>
    /// What follows is written from another position of the stage: the same places of the field are other area, and the way
    /// there belongs to no jump.
    /// </summary>
    /// <param name="name">Name of the write field.</param>
    public void BeginField(string name)
    {
        Judge(tally);
        field = name;
        tracks.Clear();
        unmarkedTracks = 0;
        (hasPlace, fullSeconds) = (false, double.NegativeInfinity);
        (marked, exposed) = (-1, -1);
        if (fieldSquareNanometres > 0)
        {
            LookAtBareArea();
        }
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        foreach (ref readonly DeflectionRecord record in items)
        {
            switch (record.Kind)
            {
                case RecordKind.Jump:
                    Move(plane.PlaceOf(record.X, record.Y), record.Ticks * tick, isJump: true);
                    break;
                case RecordKind.Dot or RecordKind.Line:
                    Expose(record);
                    break;
                case RecordKind.Wait:
                    Move(command, record.Ticks * tick, isJump: false);
                    break;
                case RecordKind.Trigger:
                    // On average; what leaks meanwhile stays in one place.
                    Move(command, (machine.Trigger?.PeriodSeconds ?? 0) / 2, isJump: false);
                    break;
                default:
                    Mark((int)record.Ticks);
                    break;
            }

            records++;
        }
    }

    /// <inheritdoc/>
    public void End()
    {
    }

    /// <summary>What was found.</summary>
    public StrayReport ToReport()
    {
        StrayTally all = tally.Copy();
        Judge(all);
        return all.ToReport(jumps, isAlone);
    }

    /// <summary>The ways that the beam takes on jumps, evenly thinned; empty where each jump was judged alone.</summary>
    internal IReadOnlyList<ImmutableArray<(double X, double Y)>> Paths(int most)
    {
        var paths = new List<ImmutableArray<(double X, double Y)>>();
        int stride = 1 + tracks.Count / most;
        for (int i = 0; i < tracks.Count; i += stride)
        {
            StrayTrack track = tracks[i];
            double longest = Math.Max(Math.Abs(track.GoalX - track.FromX), Math.Abs(track.GoalY - track.FromY));
            if (longest == 0)
            {
                continue;
            }

            pieces.Clear();
            way.Divide(track, longest / PathParts, pieces);
            paths.Add([(track.FromX, track.FromY), .. pieces.Select(piece => (piece.X, piece.Y)), way.EndOf(track)]);
        }

        return paths;
    }

    private void LookAtBareArea()
    {
        area = AlwaysExposes(machine) ? new StrayArea(spread, onset, fieldSquareNanometres, machine) : null;
        isAlone |= area is null;
    }

    /// <summary>Judges the tracks over the area under the beam.</summary>
    private void Judge(StrayTally all)
    {
        if (area is null)
        {
            return;
        }

        all.Haze(area.LargestFog / onset);
        foreach (ref readonly StrayTrack track in CollectionsMarshal.AsSpan(tracks))
        {
            if (judge.Together(track, area, PatternWindow(), all) is StrayJump jump)
            {
                all.Print(jump with { Field = field });
            }
        }
    }

    private void JudgeAlone(in StrayTrack track)
    {
        if (judge.Alone(track, tally) is StrayJump jump)
        {
            tally.Print(jump with { Field = field });
        }
    }

    // Around what one write field holds may be what another holds: then nothing is known to lie around the pattern.
    private SampleWindow? PatternWindow() => field is null ? new SampleWindow(left, bottom, right, top) : null;

    private void Mark(int figure)
    {
        // A marker stands before or after the jump to its figure.
        for (int i = tracks.Count - unmarkedTracks; i < tracks.Count; i++)
        {
            tracks[i] = tracks[i] with { ToFigure = figure };
        }

        unmarkedTracks = 0;
        marked = figure;
    }

    private void Expose(in DeflectionRecord record)
    {
        unmarkedTracks = 0;
        exposed = marked;
        (double X, double Y) from = plane.PlaceOf(record.X, record.Y);
        (double X, double Y) to = plane.PlaceOf(record.EndX, record.EndY);
        (left, right) = (Math.Min(left, Math.Min(from.X, to.X)), Math.Max(right, Math.Max(from.X, to.X)));
        (bottom, top) = (Math.Min(bottom, Math.Min(from.Y, to.Y)), Math.Max(top, Math.Max(from.Y, to.Y)));
        if (hasPlace)
        {
            way.Ramp(from, to, record.Points, record.Ticks * tick);
        }
        else
        {
            way.Rest(to.X, to.Y);
        }

        (command, hasPlace) = (to, true);
        fullSeconds = edges.OffDead;
        if (area is null)
        {
            return;
        }

        (double offX, double offY) = (way.X.Goal - to.X + way.X.Lag, way.Y.Goal - to.Y + way.Y.Lag);
        double perTick = machine.Beam.CurrentAmperes * tick;
        int done = 0;
        while (done < record.Points)
        {
            int count = LinePoints.Expand(record, done, points);
            foreach (ref readonly LinePoint point in points.AsSpan(0, count))
            {
                (double x, double y) = plane.PlaceOf(point.X, point.Y);
                area.Expose(x + offX, y + offY, point.Ticks * perTick);
            }

            done += count;
        }

        DropIfTooLarge();
    }

    private void Move((double X, double Y) goal, double seconds, bool isJump)
    {
        if (!hasPlace)
        {
            way.Rest(goal.X, goal.Y);

            // Where the beam rested before is unknown. Where it is first sent it waits, and that place counts as exposed.
            double charge = machine.Beam.CurrentAmperes * (machine.Blanker.IsPresent ? machine.Blanker.LeakFraction : 1) * seconds;
            if (machine.Blanker.LeaksFog)
            {
                area?.Haze(goal.X, goal.Y, charge);
            }
            else
            {
                area?.Expose(goal.X, goal.Y, charge);
            }
        }
        else
        {
            (int from, int to) = figures?.Of(jumps) ?? (exposed, marked);
            (double fromX, double fromY) = (way.X.Place, way.Y.Place);
            way.Send(goal.X, goal.Y);
            var track = new StrayTrack(
                fromX, fromY, way.X.Goal, way.Y.Goal, seconds, fullSeconds, records, isJump ? jumps : jumps - 1, from, to)
            {
                Left = way.Left(),
            };
            if (area is null)
            {
                JudgeAlone(track);
            }
            else
            {
                Leave(track);
            }

            way.Pass(seconds);
        }

        fullSeconds -= seconds;
        (command, hasPlace) = (goal, true);
        jumps += isJump ? 1 : 0;
    }

    private void Leave(in StrayTrack track)
    {
        pieces.Clear();
        way.Divide(track, area!.PixelNanometres, pieces);
        foreach (ref readonly TrackPiece piece in CollectionsMarshal.AsSpan(pieces))
        {
            area.Stray(piece.X, piece.Y, judge.ChargeOf(piece, track, out _));
            if (machine.Blanker.LeaksFog)
            {
                area.Haze(piece.X, piece.Y, judge.FogOf(piece, track));
            }
        }

        tracks.Add(track);
        unmarkedTracks += figures is null ? 1 : 0;
        DropIfTooLarge();
    }

    private void DropIfTooLarge()
    {
        if (!area!.IsTooLarge && tracks.Count <= MostTracks)
        {
            return;
        }

        (area, isAlone) = (null, true);
        foreach (ref readonly StrayTrack track in CollectionsMarshal.AsSpan(tracks))
        {
            JudgeAlone(track);
        }

        tracks.Clear();
        unmarkedTracks = 0;
    }
}
