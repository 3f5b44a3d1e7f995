using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Points;

/// <summary>
/// Turns records into what the outputs do point by point, for forms that know nothing else. Lines become points, a wait
/// holds the place reached (the middle of the range before the first record), markers vanish.
/// </summary>
internal sealed class PointExpander(IDocumentSink<RecordsHeader, BeamPoint> inner) : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private const int PointsAtOnce = 1024;

    private readonly BeamPoint[] batch = new BeamPoint[PointsAtOnce];
    private readonly LinePoint[] line = new LinePoint[PointsAtOnce];
    private int used;
    private int x;
    private int y;

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        x = y = header.Dac.CodeCount / 2;
        inner.Begin(header);
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        foreach (ref readonly DeflectionRecord record in items)
        {
            switch (record.Kind)
            {
                case RecordKind.Jump:
                case RecordKind.Dot:
                    (x, y) = (record.X, record.Y);
                    Add(record.Ticks, record.Kind == RecordKind.Dot);
                    break;
                case RecordKind.Line:
                    AddLine(record);
                    break;
                case RecordKind.Wait:
                    Add(record.Ticks, isOn: false);
                    break;
                case RecordKind.Marker:
                    break;
                default:
                    throw new ArgumentOutOfRangeException(nameof(items), record.Kind, "Unknown kind of record.");
            }
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        Flush();
        inner.End();
    }

    private void AddLine(in DeflectionRecord record)
    {
        int done = 0;
        while (done < record.Points)
        {
            int count = LinePoints.Expand(record, done, line);
            foreach (ref readonly LinePoint point in line.AsSpan(0, count))
            {
                (x, y) = (point.X, point.Y);
                Add(point.Ticks, isOn: true);
            }

            done += count;
        }
    }

    private void Add(long ticks, bool isOn)
    {
        batch[used++] = new BeamPoint(x, y, ticks, isOn);
        if (used == batch.Length)
        {
            Flush();
        }
    }

    private void Flush()
    {
        inner.Write(batch.AsSpan(0, used));
        used = 0;
    }
}
