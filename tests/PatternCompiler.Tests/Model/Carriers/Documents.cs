using System.Collections.Immutable;
using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Model.Carriers;

/// <summary>Random documents, and the bytes that a writer makes of a document.</summary>
internal static class Documents
{
    public static readonly Gen<string> Name = Gen.String[Gen.Char, 0, 12];

    private static readonly Gen<int> Coordinate = Gen.OneOf(Gen.Int[-1000, 1000], Gen.Int[-GridPoint.Limit, GridPoint.Limit]);

    private static readonly Gen<GridPoint> Point = Gen.Select(Coordinate, Coordinate, (x, y) => new GridPoint(x, y));

    public static readonly Gen<FiguresDocument> Figures =
        from grid in Gen.Long[1, 10_000]
        from layers in Name.Array[1, 4]
        from figures in Figure(layers.Length).Array[0, 40]
        select new FiguresDocument(new FiguresHeader(grid, [.. layers]), figures);

    public static readonly Gen<(StrokesHeader Header, Stroke[] Items)> Strokes =
        from layers in Name.Array[0, 4]
        from waits in Gen.Bool
        from items in Stroke(waits).Array[0, 60]
        select (new StrokesHeader([.. layers]) { WaitsForTrigger = waits }, items);

    public static readonly Gen<(RecordsHeader Header, DeflectionRecord[] Items)> Records =
        from header in RecordsHeader
        from waits in Gen.Bool
        from items in Gen.Select(Record(header.Dac.CodeCount - 1, uint.MaxValue), Gen.Int[0, 9], Gen.Long[1, uint.MaxValue], (record, kind, ticks) =>
            waits && kind == 0 ? DeflectionRecord.Trigger(ticks) : record).Array[0, 60]
        select (header with { WaitsForTrigger = waits }, items);

    private static Gen<Stroke> Stroke(bool waits) =>
        from kind in Gen.Int[0, waits ? 4 : 3]
        from figure in Gen.Int[0, 100_000]
        from x in Femtometres
        from y in Femtometres
        from endX in Femtometres
        from endY in Femtometres
        from points in Gen.Int[1, int.MaxValue]
        from charge in Gen.Long[0, long.MaxValue]
        from wait in Gen.Long[0, 3_600_000_000_000_000]
        select (StrokeKind)kind switch
        {
            StrokeKind.Jump => PatternCompiler.Model.Strokes.Stroke.Jump(figure, x, y),
            StrokeKind.Via => PatternCompiler.Model.Strokes.Stroke.Via(figure, x, y),
            StrokeKind.Await => PatternCompiler.Model.Strokes.Stroke.Await(figure, x, y, wait),
            StrokeKind.Dot => PatternCompiler.Model.Strokes.Stroke.Dot(figure, x, y, charge),
            _ => PatternCompiler.Model.Strokes.Stroke.Line(figure, x, y, endX, endY, points, charge),
        };

    private static Gen<long> Femtometres => Gen.OneOf(Gen.Long[-2_000_000, 2_000_000], Gen.Long[-1_000_000_000_000_000, 1_000_000_000_000_000]);

    public static Gen<RecordsHeader> RecordsHeader =>
        from name in Name
        from bits in Gen.Int[8, 24]
        from low in Gen.Double[-12, 0]
        from span in Gen.Double[0.5, 24]
        from coding in Gen.Int[0, 2]
        from fullScale in Gen.Int[0, 1]
        from clock in Gen.Double[1e3, 1e9]
        from shortest in Gen.Long[0, 100]
        from longest in Gen.Long[100, uint.MaxValue]
        from step in Gen.Double[-100, 100]
        from swapped in Gen.Bool
        from level in Gen.Int[0, 3]
        from isMade in Gen.Bool
        from digests in Gen.Select(Gen.ULong, Gen.ULong)
        select new RecordsHeader(
            name, new Dac(bits, low, low + span, (DacCoding)coding, (DacFullScale)fullScale), clock, shortest, longest, step, -step, swapped)
        {
            BlankLevel = (BlankLevel)level,
            MadeFor = isMade ? new MadeFor(new SettingsDigest(digests.Item1), new SettingsDigest((UInt128)digests.Item2 << 64)) : default,
        };

    public static Gen<DeflectionRecord> Record(int lastCode, long mostTicks, int mostPoints = 1_000_000) =>
        from kind in Gen.Int[0, 4]
        from x in Gen.Int[0, lastCode]
        from y in Gen.Int[0, lastCode]
        from endX in Gen.Int[0, lastCode]
        from endY in Gen.Int[0, lastCode]
        from points in Gen.Int[1, mostPoints]
        from ticks in Gen.OneOf(Gen.Long[0, Math.Min(mostTicks, 1000)], Gen.Long[0, mostTicks])
        select (RecordKind)kind switch
        {
            RecordKind.Jump => DeflectionRecord.Jump(x, y, ticks),
            RecordKind.Dot => DeflectionRecord.Dot(x, y, ticks),
            RecordKind.Line => DeflectionRecord.Line(x, y, endX, endY, points, ticks),
            RecordKind.Wait => DeflectionRecord.Wait(ticks),
            _ => DeflectionRecord.Marker(ticks),
        };

    private static Gen<Figure> Figure(int layers) =>
        from kind in Gen.Int[0, 3]
        from layer in Gen.Int[0, layers - 1]
        from dose in Gen.OneOf(Gen.Const(1_000_000), Gen.Int[0, 2_000_000_000])
        from transposed in Gen.Bool
        from a in Point
        from b in Point
        from shape in Trapezoid
        from rectangle in Rectangle
        let factor = new DoseFactor(dose)
        select kind switch
        {
            0 => PatternCompiler.Model.Figures.Figure.FromDot(layer, factor, a),
            1 => PatternCompiler.Model.Figures.Figure.FromLine(layer, factor, a, b),
            2 => PatternCompiler.Model.Figures.Figure.FromTrapezoid(layer, factor, rectangle, transposed),
            _ => PatternCompiler.Model.Figures.Figure.FromTrapezoid(layer, factor, shape, transposed),
        };

    private static Gen<Trapezoid> Rectangle =>
        from x in Gen.Int[-GridPoint.Limit, GridPoint.Limit - 1000]
        from y in Gen.Int[-GridPoint.Limit, GridPoint.Limit - 1000]
        from width in Gen.Int[1, 1000]
        from height in Gen.Int[1, 1000]
        select PatternCompiler.Geometry.Trapezoid.FromRectangle(x, y, x + width, y + height);

    // The left edge stays at negative x, the right one at positive x; both reach beyond the parallel sides.
    private static Gen<Trapezoid> Trapezoid =>
        from bottom in Gen.Int[-1000, 1000]
        from height in Gen.Int[1, 1000]
        from below in Gen.Int[0, 100]
        from above in Gen.Int[0, 100]
        from left in Gen.Int[-GridPoint.Limit, 0].Array[2]
        from right in Gen.Int[0, GridPoint.Limit].Array[2]
        select new Trapezoid(
            bottom,
            bottom + height,
            new GridEdge(new(left[0], bottom - below), new(left[1], bottom + height + above)),
            new GridEdge(new(right[0], bottom - above), new(right[1], bottom + height + below)));

    public static byte[] Written<THeader, TItem>(
        Func<Stream, IDocumentSink<THeader, TItem>> writer, THeader header, ReadOnlySpan<TItem> items)
        where TItem : struct
    {
        using var stream = new MemoryStream();
        IDocumentSink<THeader, TItem> sink = writer(stream);
        sink.Begin(header);
        int half = items.Length / 2;
        sink.Write(items[..half]);
        sink.Write(items[half..]);
        sink.End();
        return stream.ToArray();
    }

    public static byte[] Written(Func<Stream, IDocumentSink<FiguresHeader, Figure>> writer, FiguresDocument document) =>
        Written(writer, document.Header, [.. document.Figures]);
}
