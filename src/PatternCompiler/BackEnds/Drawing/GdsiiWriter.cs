using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Gdsii;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>
/// Writes a layout as a GDSII stream. One database unit is one grid step, so every coordinate is exact; user units are
/// micrometres. Cells, arrays, and paths that all readers agree on are kept; other paths, circles and rings become polygons within
/// the chord error, areas that cross themselves and holes become rings that cover the same by any fill rule, and a dot is a path
/// without width or length.
/// </summary>
internal static class GdsiiWriter
{
    private const int LongestName = 32;
    private const short FlatEnds = 0;
    private const short RoundEnds = 1;
    private const short SquareEnds = 2;

    /// <summary>Writes a layout; what the format cannot hold is reported. The stream stays open.</summary>
    public static void Write(
        LayoutDocument layout, Stream output, DrawingWriteOptions options, DiagnosticSink sink, CancellationToken cancellation = default)
    {
        if (layout.Cells.Any(cell => cell.Instances.Any(i => !IsSimilarity(i.Orientation))))
        {
            sink.Note(DrawingWriteCodes.Flattened, "cells are scaled differently in x and y, which GDSII has no form for; written without cells");
            layout = FlatShapes.Flatten(layout, options, sink, cancellation);
        }

        new Session(layout, new GdsiiOutput(output), options, shape => FlatShapes.AreaOf(layout, shape, options, sink, cancellation), cancellation).Run(sink);
    }

    private static bool IsSimilarity(Orientation orientation) => Math.Abs(orientation.ScaleX) == Math.Abs(orientation.ScaleY);

    private sealed class Session(LayoutDocument layout, GdsiiOutput records, DrawingWriteOptions options, Func<Shape, PolygonShape?> flatten, CancellationToken cancellation)
    {
        private readonly WriteLosses losses = new("GDSII");
        private readonly WorkMeter vertices = options.Limits.Meter(WorkKind.Vertices);
        private readonly (short Layer, short DataType)[] layers = GdsiiLayerNumbers.Of(layout.Layers);
        private readonly NameMap cellNames = new(c => char.IsAsciiLetterOrDigit(c) || c is '_' or '?' or '$', LongestName);

        public void Run(DiagnosticSink sink)
        {
            // Fixed dates: the same layout gives the same bytes.
            ReadOnlySpan<short> dates = [1970, 1, 1, 0, 0, 0, 1970, 1, 1, 0, 0, 0];
            records.Shorts(GdsiiRecordType.Header, 600);
            records.Shorts(GdsiiRecordType.BeginLibrary, dates);
            records.Text(GdsiiRecordType.LibraryName, "LAYOUT");
            records.RealNumbers(GdsiiRecordType.Units, layout.GridPicometres / 1e6, layout.GridPicometres / 1e12);
            foreach (Cell cell in layout.Cells)
            {
                cancellation.ThrowIfCancellationRequested();
                records.Shorts(GdsiiRecordType.BeginStructure, dates);
                records.Text(GdsiiRecordType.StructureName, cellNames.Of(cell.Name));
                foreach (Shape shape in cell.Shapes)
                {
                    WriteShape(shape);
                }

                foreach (Instance instance in cell.Instances)
                {
                    WriteInstance(instance);
                }

                records.Empty(GdsiiRecordType.EndStructure);
            }

            records.Empty(GdsiiRecordType.EndLibrary);
            records.Flush();
            for (int i = 0; i < layers.Length; i++)
            {
                losses.Renamed(layout.Layers[i], GdsiiLayerNumbers.Text(layers[i]));
            }

            losses.Report(sink);
        }

        private double ChordError => options.ChordErrorNanometres * 1000 / layout.GridPicometres;

        private void WriteShape(Shape shape)
        {
            losses.Dose(shape.DoseFactor);
            switch (shape)
            {
                case RectangleShape r:
                    WriteRing(r.Layer, [new(r.XLeft, r.YBottom), new(r.XRight, r.YBottom), new(r.XRight, r.YTop), new(r.XLeft, r.YTop)]);
                    break;
                case PolygonShape polygon:
                    List<GridPoint[]> rings = HoleFreeRings.Of(polygon, GdsiiOutput.MostPoints - 1, options.Limits.At($"layer '{layout.Layers[polygon.Layer]}'"), out bool wasCut, cancellation);
                    foreach (GridPoint[] ring in rings)
                    {
                        WriteRing(polygon.Layer, ring);
                    }

                    losses.Cut(wasCut);
                    break;
                case CircleShape circle:
                    WritePolygon(circle, Circle(circle.Centre, circle.Radius));
                    break;
                case RingShape ring:
                    WriteRing(ring);
                    break;
                case PathShape path:
                    WritePath(path);
                    break;
                case LineShape line:
                    WriteLine(line);
                    break;
                case DotShape dot:
                    WriteDot(dot);
                    break;
            }
        }

        private void WritePolygon(Shape shape, ContourSet rings) =>
            WriteShape(new PolygonShape(shape.Layer, DoseFactor.One, rings, FillRule.EvenOdd));

        private ContourSet Circle(GridPoint centre, int radius)
        {
            vertices.Add(ArcFlattening.SegmentCount(radius, 2 * Math.PI, ChordError));
            var rings = new ContourSetBuilder();
            ArcFlattening.AddCircle(rings, PlanePoint.From(centre), radius, ChordError);
            return rings.ToContourSet();
        }

        // Both circles have a corner straight to the right of the centre: the outline runs in to the hole and out again there.
        private void WriteRing(RingShape ring)
        {
            GridPoint[] outer = Circle(ring.Centre, ring.OuterRadius)[0].ToArray();
            GridPoint[] inner = Circle(ring.Centre, ring.InnerRadius)[0].ToArray();
            Array.Reverse(inner, 1, inner.Length - 1);
            GridPoint[] all = [.. outer, outer[0], inner[0], .. inner.AsSpan(1), inner[0]];
            if (all.Length < GdsiiOutput.MostPoints)
            {
                WriteRing(ring.Layer, all);
                return;
            }

            var both = new ContourSetBuilder();
            both.AddRing(outer);
            both.AddRing(inner);
            WritePolygon(ring, both.ToContourSet());
        }

        private void WriteRing(int layer, ReadOnlySpan<GridPoint> ring)
        {
            BeginElement(GdsiiRecordType.Boundary, layer);
            records.Points(ring, close: true);
            records.Empty(GdsiiRecordType.EndElement);
        }

        private void WritePath(PathShape path)
        {
            if (path.Points.Length <= GdsiiOutput.MostPoints && CommonPath.Is(path))
            {
                WritePath(path.Layer, path.Points.AsSpan(), path.Width, path.End == PathEnd.Square ? SquareEnds : FlatEnds);
            }
            else if (flatten(path) is { } area)
            {
                WriteShape(area with { DoseFactor = DoseFactor.One });
            }
        }

        private void WriteLine(LineShape line)
        {
            ReadOnlySpan<GridPoint> rest = line.Points.AsSpan();
            while (rest.Length > 1)
            {
                int count = Math.Min(rest.Length, GdsiiOutput.MostPoints);
                WritePath(line.Layer, rest[..count], 0, FlatEnds);
                rest = count == rest.Length ? [] : rest[(count - 1)..];
            }
        }

        private void WritePath(int layer, ReadOnlySpan<GridPoint> points, int width, short pathType)
        {
            BeginElement(GdsiiRecordType.Path, layer);
            records.Shorts(GdsiiRecordType.PathType, pathType);
            records.Integer(GdsiiRecordType.Width, width);
            records.Points(points, close: false);
            records.Empty(GdsiiRecordType.EndElement);
        }

        // The format has no dots: a path without width or length, with a round end, is read back as one.
        private void WriteDot(DotShape dot)
        {
            BeginElement(GdsiiRecordType.Path, dot.Layer);
            records.Shorts(GdsiiRecordType.PathType, RoundEnds);
            records.Integer(GdsiiRecordType.Width, 0);
            records.Points([dot.Position, dot.Position], close: false);
            records.Empty(GdsiiRecordType.EndElement);
        }

        private void BeginElement(GdsiiRecordType type, int layer)
        {
            records.Empty(type);
            records.Shorts(GdsiiRecordType.Layer, layers[layer].Layer);
            records.Shorts(GdsiiRecordType.DataType, layers[layer].DataType);
        }

        private void WriteInstance(Instance instance)
        {
            losses.Dose(instance);
            Repetition r = instance.Repetition;
            if (r.Columns == 1 && r.Rows == 1)
            {
                WriteReference(instance, instance.Origin, 1, 1, default, default);
                return;
            }

            // Columns and rows are two-byte integers: larger arrays are written in parts.
            for (long row = 0; row < r.Rows; row += short.MaxValue)
            {
                for (long column = 0; column < r.Columns; column += short.MaxValue)
                {
                    GridPoint origin = Offset(Offset(instance.Origin, r.ColumnStep, column), r.RowStep, row);
                    short columns = (short)Math.Min(short.MaxValue, r.Columns - column);
                    short rows = (short)Math.Min(short.MaxValue, r.Rows - row);
                    WriteReference(instance, origin, columns, rows, Offset(origin, r.ColumnStep, columns), Offset(origin, r.RowStep, rows));
                }
            }
        }

        private void WriteReference(Instance instance, GridPoint origin, short columns, short rows, GridPoint columnEnd, GridPoint rowEnd)
        {
            bool isArray = columns > 1 || rows > 1;
            records.Empty(isArray ? GdsiiRecordType.ArrayReference : GdsiiRecordType.StructureReference);
            records.Text(GdsiiRecordType.PlacedName, cellNames.Of(instance.CellName));

            // A mirror in y alone is the format's reflection; a mirror in x is that and half a turn.
            Orientation o = instance.Orientation;
            bool isReflected = (o.ScaleX < 0) != (o.ScaleY < 0);
            double angle = o.RotationDegrees + (o.ScaleX < 0 ? 180 : 0);
            angle -= 360 * Math.Floor(angle / 360);
            double magnification = Math.Abs(o.ScaleX);
            if (isReflected || angle != 0 || magnification != 1)
            {
                records.Flags(GdsiiRecordType.Transformation, isReflected ? (ushort)0x8000 : (ushort)0);
                records.RealNumbers(GdsiiRecordType.Magnification, magnification);
                records.RealNumbers(GdsiiRecordType.Angle, angle);
            }

            if (isArray)
            {
                records.Shorts(GdsiiRecordType.ColumnsRows, columns, rows);
                records.Points([origin, columnEnd, rowEnd], close: false);
            }
            else
            {
                records.Points([origin], close: false);
            }

            records.Empty(GdsiiRecordType.EndElement);
        }

        private static GridPoint Offset(GridPoint from, GridPoint step, long count)
        {
            long x = from.X + (step.X * count);
            long y = from.Y + (step.Y * count);
            return x == (int)x && y == (int)y
                ? new((int)x, (int)y)
                : throw new CompileException(DrawingWriteCodes.BeyondFormat, "an array reaches further than GDSII can hold", fix: "flatten it");
        }
    }
}
