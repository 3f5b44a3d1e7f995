using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>
/// Writes a layout as a DXF drawing in micrometres, with the entities of R12 that every drawing program reads. Cells become
/// blocks and stay so; circles stay circles; rings and paths become polylines with a width.
/// </summary>
public static class DxfWriter
{
    private const string BaseLayer = "0";
    private const int Micrometres = 13;
    private const int LongestName = 255;
    private const int MostWrittenOut = 1_000_000;
    private const int Colours = 6;

    /// <summary>Writes a layout; what the format cannot hold is reported. The stream stays open.</summary>
    public static void Write(
        LayoutDocument layout, Stream output, DrawingWriteOptions options, DiagnosticSink sink, CancellationToken cancellation = default)
    {
        _ = options;
        new Session(layout, new DxfOutput(output, layout.GridPicometres), cancellation).Run(sink);
    }

    private static bool IsAllowed(char c) => c >= ' ' && !"<>/\\\":;?*|=,`'".Contains(c, StringComparison.Ordinal);

    private sealed class Session(LayoutDocument layout, DxfOutput dxf, CancellationToken cancellation)
    {
        private readonly WriteLosses losses = new("DXF");
        private readonly NameMap layerNames = new(IsAllowed, LongestName);
        private readonly NameMap blockNames = new(IsAllowed, LongestName);

        public void Run(DiagnosticSink sink)
        {
            WriteHeader();
            WriteTables();
            dxf.Text(0, "SECTION");
            dxf.Text(2, "BLOCKS");
            foreach (Cell cell in layout.Cells)
            {
                if (cell.Name != layout.TopCell)
                {
                    WriteBlock(cell);
                }
            }

            dxf.Text(0, "ENDSEC");
            dxf.Text(0, "SECTION");
            dxf.Text(2, "ENTITIES");
            WriteCell(layout.Cells.First(cell => cell.Name == layout.TopCell));
            dxf.Text(0, "ENDSEC");
            dxf.Text(0, "EOF");
            dxf.Flush();
            losses.Report(sink);
        }

        private void WriteHeader()
        {
            dxf.Text(0, "SECTION");
            dxf.Text(2, "HEADER");
            dxf.Text(9, "$ACADVER");
            dxf.Text(1, "AC1009");
            dxf.Text(9, "$INSUNITS");
            dxf.Integer(70, Micrometres);
            dxf.Text(9, "$MEASUREMENT");
            dxf.Integer(70, 1);
            dxf.Text(0, "ENDSEC");
        }

        private void WriteTables()
        {
            dxf.Text(0, "SECTION");
            dxf.Text(2, "TABLES");
            dxf.Text(0, "TABLE");
            dxf.Text(2, "LTYPE");
            dxf.Integer(70, 1);
            dxf.Text(0, "LTYPE");
            dxf.Text(2, "CONTINUOUS");
            dxf.Integer(70, 0);
            dxf.Text(3, "");
            dxf.Integer(72, 65);
            dxf.Integer(73, 0);
            dxf.Text(40, "0");
            dxf.Text(0, "ENDTAB");
            dxf.Text(0, "TABLE");
            dxf.Text(2, "LAYER");
            dxf.Integer(70, layout.Layers.Length);
            for (int i = 0; i < layout.Layers.Length; i++)
            {
                string name = LayerName(i);
                losses.Renamed(layout.Layers[i], name);
                dxf.Text(0, "LAYER");
                dxf.Text(2, name);
                dxf.Integer(70, 0);
                dxf.Integer(62, 1 + (i % Colours));
                dxf.Text(6, "CONTINUOUS");
            }

            dxf.Text(0, "ENDTAB");
            dxf.Text(0, "ENDSEC");
        }

        private void WriteBlock(Cell cell)
        {
            string name = blockNames.Of(cell.Name);
            dxf.Entity("BLOCK", BaseLayer);
            dxf.Text(2, name);
            dxf.Integer(70, 0);
            dxf.Point(default);
            dxf.Text(3, name);
            WriteCell(cell);
            dxf.Entity("ENDBLK", BaseLayer);
        }

        private void WriteCell(Cell cell)
        {
            cancellation.ThrowIfCancellationRequested();
            foreach (Shape shape in cell.Shapes)
            {
                losses.Dose(shape.DoseFactor);
                WriteShape(shape);
            }

            foreach (Instance instance in cell.Instances)
            {
                losses.Dose(instance);
                WriteInstance(instance);
            }
        }

        private string LayerName(int layer) => layerNames.Of(layout.Layers[layer]);

        private void WriteShape(Shape shape)
        {
            switch (shape)
            {
                case RectangleShape r:
                    WriteRing(r.Layer, [new(r.XLeft, r.YBottom), new(r.XRight, r.YBottom), new(r.XRight, r.YTop), new(r.XLeft, r.YTop)]);
                    break;
                case PolygonShape polygon:
                    foreach (GridPoint[] ring in HoleFreeRings.Of(polygon, int.MaxValue, out bool wasCut, cancellation))
                    {
                        WriteRing(polygon.Layer, ring);
                        losses.Cut(wasCut);
                        wasCut = false;
                    }

                    break;
                case CircleShape circle:
                    WriteCircle(circle.Layer, circle.Centre, circle.Radius);
                    break;
                case RingShape ring:
                    WriteRing(ring);
                    break;
                case PathShape path:
                    WritePath(path);
                    break;
                case LineShape line:
                    WritePolyline(line.Layer, [.. line.Points.Select(PlanePoint.From)], isClosed: false, 0, 0);
                    break;
                case DotShape dot:
                    dxf.Entity("POINT", LayerName(dot.Layer));
                    dxf.Point(PlanePoint.From(dot.Position));
                    break;
            }
        }

        private void WriteCircle(int layer, GridPoint centre, double radius)
        {
            dxf.Entity("CIRCLE", LayerName(layer));
            dxf.Point(PlanePoint.From(centre));
            dxf.Length(40, radius);
        }

        private void WriteRing(int layer, GridPoint[] ring) =>
            WritePolyline(layer, [.. ring.Select(PlanePoint.From)], isClosed: true, 0, 0);

        // Two half circles along the middle of the ring, as wide as the ring.
        private void WriteRing(RingShape ring)
        {
            double middle = (ring.InnerRadius + (double)ring.OuterRadius) / 2;
            var centre = PlanePoint.From(ring.Centre);
            WritePolyline(
                ring.Layer, [centre - new PlanePoint(middle, 0), centre + new PlanePoint(middle, 0)], isClosed: true,
                ring.OuterRadius - (double)ring.InnerRadius, bulge: 1);
        }

        private void WritePath(PathShape path)
        {
            PlanePoint[] points = [.. path.Points.Select(PlanePoint.From)];
            bool isClosed = points.Length > 3 && points[0] == points[^1];
            if (isClosed)
            {
                points = points[..^1];
            }
            else if (path.End == PathEnd.Square)
            {
                points = [Extended(points[1], points[0], path.Width), .. points[1..^1], Extended(points[^2], points[^1], path.Width)];
            }
            else if (path.End == PathEnd.Round)
            {
                WriteCircle(path.Layer, path.Points[0], path.Width / 2.0);
                WriteCircle(path.Layer, path.Points[^1], path.Width / 2.0);
            }

            WritePolyline(path.Layer, points, isClosed, path.Width, 0);
        }

        private static PlanePoint Extended(PlanePoint from, PlanePoint to, int width)
        {
            PlanePoint direction = to - from;
            return direction.Length > 0 ? to + (width / (2 * direction.Length) * direction) : to;
        }

        private void WritePolyline(int layer, PlanePoint[] points, bool isClosed, double width, double bulge)
        {
            string name = LayerName(layer);
            dxf.Entity("POLYLINE", name);
            dxf.Integer(66, 1);
            dxf.Point(default);
            dxf.Integer(70, isClosed ? 1 : 0);
            if (width > 0)
            {
                dxf.Length(40, width);
                dxf.Length(41, width);
            }

            foreach (PlanePoint point in points)
            {
                dxf.Entity("VERTEX", name);
                dxf.Point(point);
                if (bulge != 0)
                {
                    dxf.Real(42, bulge);
                }
            }

            dxf.Entity("SEQEND", name);
        }

        private void WriteInstance(Instance instance)
        {
            Repetition r = instance.Repetition;
            if (r.Columns == 1 && r.Rows == 1)
            {
                WriteInsert(instance, instance.Origin, null);
                return;
            }

            // An array runs along the axes of the turned block. One that runs otherwise is written out.
            (double sin, double cos) = Trigonometry.SinCosDegrees(instance.Orientation.RotationDegrees);
            PlanePoint column = r.Columns > 1 ? Turned(r.ColumnStep) : default;
            PlanePoint row = r.Rows > 1 ? Turned(r.RowStep) : default;
            if (column.Y == 0 && row.X == 0)
            {
                WriteInsert(instance, instance.Origin, (r.Columns, r.Rows, column.X, row.Y));
            }
            else if (column.X == 0 && row.Y == 0)
            {
                WriteInsert(instance, instance.Origin, (r.Rows, r.Columns, row.X, column.Y));
            }
            else
            {
                WriteOut(instance, r);
            }

            PlanePoint Turned(GridPoint step) => new((cos * step.X) + (sin * step.Y), (cos * step.Y) - (sin * step.X));
        }

        private void WriteOut(Instance instance, Repetition r)
        {
            if ((long)r.Columns * r.Rows > MostWrittenOut)
            {
                throw new CompileException(DrawingWriteCodes.BeyondFormat,
                    $"an array of {r.Columns} × {r.Rows} of cell {instance.CellName} is turned against its own axes, which DXF has no form for, and too large to place one by one",
                    fix: "turn the array in steps of 90 degrees, or write GDSII");
            }

            for (int j = 0; j < r.Rows; j++)
            {
                for (int i = 0; i < r.Columns; i++)
                {
                    WriteInsert(
                        instance,
                        new(
                            instance.Origin.X + (i * r.ColumnStep.X) + (j * r.RowStep.X),
                            instance.Origin.Y + (i * r.ColumnStep.Y) + (j * r.RowStep.Y)),
                        null);
                }
            }
        }

        private void WriteInsert(Instance instance, GridPoint at, (int Columns, int Rows, double ColumnSpacing, double RowSpacing)? array)
        {
            dxf.Entity("INSERT", BaseLayer);
            dxf.Text(2, blockNames.Of(instance.CellName));
            dxf.Point(PlanePoint.From(at));
            dxf.Real(41, instance.Orientation.ScaleX);
            dxf.Real(42, instance.Orientation.ScaleY);
            dxf.Real(50, instance.Orientation.RotationDegrees);
            if (array is { } a)
            {
                dxf.Integer(70, a.Columns);
                dxf.Integer(71, a.Rows);
                dxf.Length(44, a.ColumnSpacing);
                dxf.Length(45, a.RowSpacing);
            }
        }
    }
}
