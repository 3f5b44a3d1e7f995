using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Passes.Scale;

/// <summary>
/// For composite converters: whenever a record leads into another sub-field, the beam is off and the coarse converters get
/// their time to settle. Lines are cut where they cross from one sub-field to the next.
/// </summary>
/// <remarks>
/// The points of a cut line stay on their codes, and its total of ticks stays; the dwell of a single point may move by one
/// tick, since each part carries its own remainder.
/// </remarks>
internal sealed class SubfieldPass : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private const int PointsAtOnce = 1024;

    private readonly IDocumentSink<RecordsHeader, DeflectionRecord> output;
    private readonly CompositeDac composite;
    private readonly long coarseTicks;
    private readonly LinePoint[] points = new LinePoint[PointsAtOnce];
    private readonly LinePoint[] check = new LinePoint[PointsAtOnce];
    private (int X, int Y)? subfield;

    /// <summary>Passes records on to <paramref name="output"/>.</summary>
    public SubfieldPass(CompositeDac composite, double clockHertz, IDocumentSink<RecordsHeader, DeflectionRecord> output)
    {
        this.output = output;
        this.composite = composite;
        coarseTicks = (long)Math.Ceiling(composite.CoarseSettleSeconds * clockHertz * (1 - 1e-12));
    }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header) => output.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        int passed = 0;
        for (int i = 0; i < items.Length; i++)
        {
            ref readonly DeflectionRecord record = ref items[i];
            if (IsUnchanged(record))
            {
                continue;
            }

            output.Write(items[passed..i]);
            passed = i + 1;
            if (record.Kind == RecordKind.Jump)
            {
                subfield = SubfieldOf(record.X, record.Y);
                output.Write([record with { Ticks = Math.Max(record.Ticks, coarseTicks) }]);
            }
            else
            {
                WriteCut(record);
            }
        }

        output.Write(items[passed..]);
    }

    /// <inheritdoc/>
    public void End() => output.End();

    // Codes along a line run one way, so a line that starts and ends in a sub-field stays in it.
    private bool IsUnchanged(in DeflectionRecord record) => record.Kind >= RecordKind.Wait ||
        (SubfieldOf(record.X, record.Y) == subfield && SubfieldOf(record.EndX, record.EndY) == subfield);

    private (int X, int Y) SubfieldOf(int x, int y) => (composite.SubfieldOf(x), composite.SubfieldOf(y));

    private void WriteCut(in DeflectionRecord line)
    {
        int done = 0;
        while (done < line.Points)
        {
            int count = LinePoints.Expand(line, done, points);
            int start = 0;
            while (start < count)
            {
                int end = start + 1;
                (int X, int Y) here = SubfieldOf(points[start].X, points[start].Y);
                while (end < count && SubfieldOf(points[end].X, points[end].Y) == here)
                {
                    end++;
                }

                if (here != subfield)
                {
                    output.Write([DeflectionRecord.Jump(points[start].X, points[start].Y, coarseTicks)]);
                    subfield = here;
                }

                WritePart(points.AsSpan(start, end - start));
                start = end;
            }

            done += count;
        }
    }

    // One record if its rounding meets every point, otherwise the two halves.
    private void WritePart(ReadOnlySpan<LinePoint> part)
    {
        long ticks = 0;
        foreach (ref readonly LinePoint point in part)
        {
            ticks += point.Ticks;
        }

        LinePoint first = part[0];
        LinePoint last = part[^1];
        if (part.Length == 1)
        {
            output.Write([DeflectionRecord.Dot(first.X, first.Y, ticks)]);
            return;
        }

        DeflectionRecord record = DeflectionRecord.Line(first.X, first.Y, last.X, last.Y, part.Length, ticks);
        LinePoints.Expand(record, 0, check);
        for (int i = 0; i < part.Length; i++)
        {
            if (check[i].X != part[i].X || check[i].Y != part[i].Y)
            {
                WritePart(part[..(part.Length / 2)]);
                WritePart(part[(part.Length / 2)..]);
                return;
            }
        }

        output.Write([record]);
    }
}
