using PatternCompiler.Model;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Pictures;

/// <summary>
/// Pictures a strokes document as it streams by: exposed lines and points, tinted by charge, and the jumps between them.
/// Memory stays bounded however long the document is.
/// </summary>
internal sealed class StrokesPicture : IDocumentSink<StrokesHeader, Stroke>
{
    private const double NanometresPerFemtometre = 1e-6;
    private const double CoulombsPerZeptocoulomb = 1e-21;
    private readonly PictureOptions options;
    private readonly ExposureCollector collector;
    private ScenePoint? beam;
    private long lines;
    private long dots;
    private long points;
    private long jumps;
    private double charge;

    /// <summary>Prepares a picture.</summary>
    public StrokesPicture(PictureOptions options)
    {
        this.options = options;
        collector = new ExposureCollector(options);
    }

    /// <inheritdoc/>
    public void Begin(StrokesHeader header)
    {
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        foreach (ref readonly Stroke stroke in items)
        {
            var start = new ScenePoint(stroke.XFemtometres * NanometresPerFemtometre, stroke.YFemtometres * NanometresPerFemtometre);
            if (stroke.IsBlanked)
            {
                jumps++;
                if (stroke.Kind == StrokeKind.Via && beam is { } at)
                {
                    // The beam turns off on its way there.
                    start = new ScenePoint(at.X + SettleTime.PassedPart * (start.X - at.X), at.Y + SettleTime.PassedPart * (start.Y - at.Y));
                }

                if (beam is { } from)
                {
                    collector.AddJump(from, start);
                }

                beam = start;
                continue;
            }

            var end = new ScenePoint(stroke.EndXFemtometres * NanometresPerFemtometre, stroke.EndYFemtometres * NanometresPerFemtometre);
            lines += stroke.Kind == StrokeKind.Line ? 1 : 0;
            dots += stroke.Kind == StrokeKind.Dot ? 1 : 0;
            points += stroke.Points;
            charge += stroke.ChargeZeptocoulombs;
            collector.AddExposure(start, end, stroke.Points, stroke.ChargeZeptocoulombs);
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
        string facts = FactText.Join(
            lines > 0 ? FactText.Count(lines, "line", "lines") : "",
            dots > 0 ? FactText.Count(dots, "dot", "dots") : "",
            FactText.Count(points, "point", "points"),
            FactText.Count(jumps, "jump", "jumps"),
            FactText.Size(collector.Extent),
            $"charge {FactText.Charge(charge * CoulombsPerZeptocoulomb)}");
        return collector.Compose(
            FactText.Join(options.Title, "strokes"),
            facts,
            options.CodeRaster,
            new ExposureMeasure("charge per point", value => FactText.Charge(value * CoulombsPerZeptocoulomb)),
            new ExposureMeasure("dose", value => $"{FactText.Round(value * MicrocoulombsPerSquareCentimetre, 3)} µC/cm²"));
    }

    // 1e-21 C on 1 nm² are 1e-3 C/m², or 0.1 µC/cm².
    private const double MicrocoulombsPerSquareCentimetre = 0.1;
}
