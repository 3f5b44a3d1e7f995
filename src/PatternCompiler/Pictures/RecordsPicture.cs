using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Pictures;

/// <summary>
/// Pictures a records document as it streams by: what the codes make the beam do, tinted by dwell, on the DAC's raster
/// once a step is wide enough to be seen. Memory stays bounded however long the document is.
/// </summary>
internal sealed class RecordsPicture : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private readonly PictureOptions options;
    private readonly ExposureCollector collector;
    private RecordsHeader? header;
    private SamplePlane plane;
    private ScenePoint? beam;
    private long lines;
    private long dots;
    private long points;
    private long jumps;
    private double exposingTicks;

    /// <summary>Prepares a picture.</summary>
    public RecordsPicture(PictureOptions options)
    {
        this.options = options;
        collector = new ExposureCollector(options);
    }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        this.header = header;
        plane = new SamplePlane(header);
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        foreach (ref readonly DeflectionRecord record in items)
        {
            if (record.Kind >= RecordKind.Wait)
            {
                continue;
            }

            (double x, double y) = plane.PlaceOf(record.X, record.Y);
            var start = new ScenePoint(x, y);
            if (record.Kind == RecordKind.Jump)
            {
                jumps++;
                if (beam is { } from)
                {
                    collector.AddJump(from, start);
                }

                beam = start;
                continue;
            }

            (double endX, double endY) = plane.PlaceOf(record.EndX, record.EndY);
            var end = new ScenePoint(endX, endY);
            lines += record.Kind == RecordKind.Line ? 1 : 0;
            dots += record.Kind == RecordKind.Dot ? 1 : 0;
            points += record.Points;
            exposingTicks += record.Ticks;
            collector.AddExposure(start, end, record.Points, record.Ticks);
            beam = end;
        }
    }

    /// <inheritdoc/>
    public void End()
    {
    }

    /// <summary>The picture of what was written so far.</summary>
    public Scene Compose()
    {
        RecordsHeader known = header ?? throw new InvalidOperationException("The records have not begun.");
        double tick = 1 / known.ClockHertz;
        string facts = FactText.Join(
            lines > 0 ? FactText.Count(lines, "line", "lines") : "",
            dots > 0 ? FactText.Count(dots, "dot", "dots") : "",
            FactText.Count(points, "point", "points"),
            FactText.Count(jumps, "jump", "jumps"),
            FactText.Size(collector.Extent),
            $"beam on for {FactText.Time(exposingTicks * tick)}",
            $"{known.MachineName}, {known.Dac.Bits} bits, {FactText.Length(plane.StepAlongX)} per code");
        return collector.Compose(
            FactText.Join(options.Title, "records"),
            facts,
            new CodeRaster(plane.StepAlongX, plane.StepAlongY, plane.PlaceOf(0, 0).X, plane.PlaceOf(0, 0).Y),
            new ExposureMeasure("dwell per point", ticks => FactText.Time(ticks * tick)),
            new ExposureMeasure("beam-on time per µm²", ticks => FactText.Time(ticks * tick * 1e6)));
    }
}
