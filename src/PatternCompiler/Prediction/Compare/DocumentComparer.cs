using System.Collections.Immutable;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Compare;

/// <summary>Compares two documents of one kind.</summary>
public static class DocumentComparer
{
    private const double NanometresPerFemtometre = 1e-6;
    private const double CoulombsPerZeptocoulomb = 1e-21;
    private const int PointsAtOnce = 1024;

    /// <summary>Compares two layouts by what they cover.</summary>
    public static DocumentComparison Layouts(FlatLayout first, FlatLayout second, CancellationToken cancellation) =>
        new("layout", [], null, AreaComparer.Compare(first, second, cancellation), null);

    /// <summary>Compares two figures documents, item by item and by what they cover.</summary>
    public static DocumentComparison Figures(FiguresDocument first, FiguresDocument second, CancellationToken cancellation)
    {
        ImmutableArray<ItemDifference> headers = Differences(
            ("grid", $"{first.Header.GridPicometres} pm", $"{second.Header.GridPicometres} pm"),
            ("layers", string.Join(", ", first.Header.Layers), string.Join(", ", second.Header.Layers)));
        ItemComparison items = ItemComparer.Compare(
            first.Figures,
            second.Figures,
            "figure",
            (figure, isSecond) => ItemText.Of(stream => new FiguresTextWriter(stream), isSecond ? second.Header : first.Header, figure),
            cancellation);
        return new DocumentComparison(
            "figures",
            headers,
            items,
            headers.IsEmpty && items.AreEqual ? [] : AreaComparer.Compare(FiguresOutline.Of(first), FiguresOutline.Of(second), cancellation),
            null);
    }

    /// <summary>Compares two strokes documents, stroke by stroke and by the charge that they put where.</summary>
    public static DocumentComparison Strokes(
        CollectedDocument<StrokesHeader, Stroke> first,
        CollectedDocument<StrokesHeader, Stroke> second,
        CompareOptions options,
        CancellationToken cancellation)
    {
        var grid = new ExposureGrid(options.CellNanometres);
        Add(first.Items, false);
        Add(second.Items, true);
        return new DocumentComparison(
            "strokes",
            Differences(("layers", string.Join(", ", first.Header.Layers), string.Join(", ", second.Header.Layers))),
            ItemComparer.Compare(
                first.Items,
                second.Items,
                "stroke",
                (stroke, isSecond) => ItemText.Of(stream => new StrokesTextWriter(stream), isSecond ? second.Header : first.Header, stroke),
                cancellation),
            [],
            grid.Compare("C", options.DoseTolerance, options.ListedCells));

        void Add(List<Stroke> strokes, bool isSecond)
        {
            foreach (Stroke stroke in strokes)
            {
                for (int i = 0; i < stroke.Points; i++)
                {
                    double part = stroke.Points == 1 ? 0 : (double)i / (stroke.Points - 1);
                    grid.Add(
                        isSecond,
                        (stroke.XFemtometres + part * (stroke.EndXFemtometres - stroke.XFemtometres)) * NanometresPerFemtometre,
                        (stroke.YFemtometres + part * (stroke.EndYFemtometres - stroke.YFemtometres)) * NanometresPerFemtometre,
                        stroke.ChargeZeptocoulombs * CoulombsPerZeptocoulomb / stroke.Points);
                }
            }
        }
    }

    /// <summary>Compares two records documents, record by record and by the time that the beam is on where.</summary>
    public static DocumentComparison Records(
        CollectedDocument<RecordsHeader, DeflectionRecord> first,
        CollectedDocument<RecordsHeader, DeflectionRecord> second,
        CompareOptions options,
        CancellationToken cancellation)
    {
        var grid = new ExposureGrid(options.CellNanometres);
        var points = new LinePoint[PointsAtOnce];
        Add(first, false);
        Add(second, true);
        return new DocumentComparison(
            "records",
            Differences(
                ("machine", first.Header.MachineName, second.Header.MachineName),
                ("converter", Describe(first.Header), Describe(second.Header)),
                ("clock", $"{NumberText.Format(first.Header.ClockHertz)} Hz", $"{NumberText.Format(second.Header.ClockHertz)} Hz")),
            ItemComparer.Compare(
                first.Items,
                second.Items,
                "record",
                (record, isSecond) => ItemText.Of(stream => new RecordsTextWriter(stream), isSecond ? second.Header : first.Header, record),
                cancellation),
            [],
            grid.Compare("s", options.DoseTolerance, options.ListedCells));

        void Add(CollectedDocument<RecordsHeader, DeflectionRecord> document, bool isSecond)
        {
            var plane = new SamplePlane(document.Header);
            foreach (DeflectionRecord record in document.Items)
            {
                if (record.Kind is not (RecordKind.Line or RecordKind.Dot))
                {
                    continue;
                }

                for (int start = 0; start < record.Points; start += points.Length)
                {
                    int count = LinePoints.Expand(record, start, points);
                    foreach (LinePoint point in points.AsSpan(0, count))
                    {
                        (double x, double y) = plane.PlaceOf(point.X, point.Y);
                        grid.Add(isSecond, x, y, point.Ticks / document.Header.ClockHertz);
                    }
                }
            }
        }
    }

    private static string Describe(RecordsHeader header) =>
        $"{header.Dac.Bits} bits, {NumberText.Format(header.Dac.MinimumVolts)} to {NumberText.Format(header.Dac.MaximumVolts)} V, "
        + $"{header.Dac.Coding}, {NumberText.Format(header.NanometresPerCodeX)} x {NumberText.Format(header.NanometresPerCodeY)} nm per code";

    private static ImmutableArray<ItemDifference> Differences(params (string Name, string First, string Second)[] entries) =>
        [.. entries.Where(entry => entry.First != entry.Second).Select(entry => new ItemDifference(entry.Name, entry.First, entry.Second))];
}
