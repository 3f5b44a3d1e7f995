using System.Collections.Immutable;
using PatternCompiler.Limits;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Compare;

/// <summary>Compares two documents of one kind.</summary>
internal static class DocumentComparer
{
    /// <summary>Compares two layouts by what they cover.</summary>
    public static DocumentComparison Layouts(FlatLayout first, FlatLayout second, WorkLimits limits, CancellationToken cancellation) =>
        new("layout", [], null, AreaComparer.Compare(first, second, limits, cancellation), null);

    /// <summary>Compares two figures documents, item by item and by what they cover.</summary>
    public static DocumentComparison Figures(FiguresDocument first, FiguresDocument second, WorkLimits limits, CancellationToken cancellation)
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
            headers.IsEmpty && items.AreEqual ? [] : AreaComparer.Compare(FiguresOutline.Of(first), FiguresOutline.Of(second), limits, cancellation),
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
        ExposedPoints.Visit(first, (x, y, charge) => grid.Add(false, x, y, charge));
        ExposedPoints.Visit(second, (x, y, charge) => grid.Add(true, x, y, charge));
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
    }

    /// <summary>Compares two records documents, record by record and by the time that the beam is on where.</summary>
    public static DocumentComparison Records(
        CollectedDocument<RecordsHeader, DeflectionRecord> first,
        CollectedDocument<RecordsHeader, DeflectionRecord> second,
        CompareOptions options,
        CancellationToken cancellation)
    {
        var grid = new ExposureGrid(options.CellNanometres);
        ExposedPoints.Visit(first, (x, y, seconds) => grid.Add(false, x, y, seconds));
        ExposedPoints.Visit(second, (x, y, seconds) => grid.Add(true, x, y, seconds));
        return new DocumentComparison(
            "records",
            Differences(
                ("machine", first.Header.MachineName, second.Header.MachineName),
                ("converter", Describe(first.Header), Describe(second.Header)),
                ("blank line", RecordsText.Describe(first.Header.BlankLevel), RecordsText.Describe(second.Header.BlankLevel)),
                ("clock", $"{NumberText.Format(first.Header.ClockHertz)} Hz", $"{NumberText.Format(second.Header.ClockHertz)} Hz")),
            ItemComparer.Compare(
                first.Items,
                second.Items,
                "record",
                (record, isSecond) => ItemText.Of(stream => new RecordsTextWriter(stream), isSecond ? second.Header : first.Header, record),
                cancellation),
            [],
            grid.Compare("s", options.DoseTolerance, options.ListedCells));
    }

    private static string Describe(RecordsHeader header) =>
        $"{header.Dac.Bits} bits, {NumberText.Format(header.Dac.MinimumVolts)} to {NumberText.Format(header.Dac.MaximumVolts)} V, "
        + $"{header.Dac.Coding}, {NumberText.Format(header.NanometresPerCodeX)} x {NumberText.Format(header.NanometresPerCodeY)} nm per code";

    private static ImmutableArray<ItemDifference> Differences(params (string Name, string First, string Second)[] entries) =>
        [.. entries.Where(entry => entry.First != entry.Second).Select(entry => new ItemDifference(entry.Name, entry.First, entry.Second))];
}
