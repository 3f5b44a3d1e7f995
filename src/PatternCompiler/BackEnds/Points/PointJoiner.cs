using PatternCompiler.Model;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Points;

/// <summary>
/// Turns points that were read back into records: a dot with the beam on, a jump with it off. A point that continues
/// the one before (because a form had to split it) is joined to it. The tick with which a form turns the beam off at its
/// very end is no record.
/// </summary>
internal sealed class PointJoiner(IDocumentSink<RecordsHeader, DeflectionRecord> sink, CancellationToken cancellation)
{
    private readonly SinkBatch<RecordsHeader, DeflectionRecord> batch = new(sink, cancellation);
    private BeamPoint? waiting;
    private BeamPoint passed;

    /// <summary>True if the last point so far exposes.</summary>
    public bool IsOn => waiting is { IsOn: true };

    /// <summary>Starts the document.</summary>
    public void Begin(RecordsHeader header) => sink.Begin(header);

    /// <summary>Adds a point.</summary>
    /// <param name="point">The point.</param>
    /// <param name="mayContinue">Join it to the one before if place and beam are the same.</param>
    public void Add(in BeamPoint point, bool mayContinue)
    {
        if (waiting is BeamPoint last)
        {
            if (mayContinue && (last.X, last.Y, last.IsOn) == (point.X, point.Y, point.IsOn))
            {
                waiting = last with { Ticks = last.Ticks + point.Ticks };
                return;
            }

            Pass(last);
        }

        waiting = point;
    }

    /// <summary>A figure starts with the next point.</summary>
    public void AddMarker(long figure)
    {
        if (waiting is BeamPoint last)
        {
            Pass(last);
            waiting = null;
        }

        batch.Add(DeflectionRecord.Marker(figure));
    }

    /// <summary>Ends the document.</summary>
    public void End()
    {
        if (waiting is BeamPoint last && !(passed.IsOn && last == passed with { IsOn = false, Ticks = 1 }))
        {
            Pass(last);
        }

        batch.End();
    }

    private void Pass(in BeamPoint point)
    {
        batch.Add(point.IsOn ? DeflectionRecord.Dot(point.X, point.Y, point.Ticks) : DeflectionRecord.Jump(point.X, point.Y, point.Ticks));
        passed = point;
    }
}
