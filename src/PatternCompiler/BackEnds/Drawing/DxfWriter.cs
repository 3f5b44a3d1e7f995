using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>
/// Writes a layout as a DXF drawing in micrometres, in the current version of the format. Every coordinate is exact. Cells
/// become blocks and stay so; circles stay circles, areas with holes are hatches with islands.
/// </summary>
internal static class DxfWriter
{
    private const int LongestName = 255;
    private const int MostWrittenOut = 1_000_000;

    /// <summary>Writes a layout; what the format cannot hold is reported. The stream stays open.</summary>
    public static void Write(
        LayoutDocument layout, Stream output, DrawingWriteOptions options, DiagnosticSink sink, CancellationToken cancellation = default)
    {
        new Session(
            layout,
            new DxfOutput(output, layout.GridPicometres),
            shape => FlatShapes.AreaOf(layout, shape, options, sink, cancellation),
            options.Limits,
            cancellation).Run(sink);
    }

    private static bool IsAllowed(char c) => c >= ' ' && !"<>/\\\":;?*|=,`'".Contains(c, StringComparison.Ordinal);

    private sealed class Session
    {
        private readonly LayoutDocument layout;
        private readonly DxfOutput dxf;
        private readonly CancellationToken cancellation;
        private readonly DxfFrame frame;
        private readonly DxfShapes shapes;
        private readonly WriteLosses losses = new("DXF");
        private readonly NameMap layerNames = new(IsAllowed, LongestName);
        private readonly NameMap blockNames = new(IsAllowed, LongestName);

        public Session(LayoutDocument layout, DxfOutput dxf, Func<Shape, PolygonShape?> flatten, WorkLimits limits, CancellationToken cancellation)
        {
            this.layout = layout;
            this.dxf = dxf;
            this.cancellation = cancellation;
            frame = new DxfFrame(dxf);
            shapes = new DxfShapes(dxf, layer => layerNames.Of(layout.Layers[layer]), flatten, limits, cancellation);
        }

        public void Run(DiagnosticSink sink)
        {
            Cell[] blocks = [.. layout.Cells.Where(cell => cell.Name != layout.TopCell)];
            frame.WriteStart([.. layout.Layers.Select(layerNames.Of)], [.. blocks.Select(cell => blockNames.Of(cell.Name))]);
            foreach (Cell cell in blocks)
            {
                frame.BeginBlock(blockNames.Of(cell.Name));
                WriteCell(cell);
                frame.EndBlock();
            }

            frame.BeginEntities();
            WriteCell(layout.Cells.First(cell => cell.Name == layout.TopCell));
            frame.WriteEnd();
            foreach (string layer in layout.Layers)
            {
                losses.Renamed(layer, layerNames.Of(layer));
            }

            losses.Report(sink);
        }

        private void WriteCell(Cell cell)
        {
            foreach (Shape shape in cell.Shapes)
            {
                cancellation.ThrowIfCancellationRequested();
                losses.Dose(shape.DoseFactor);
                shapes.Write(shape);
            }

            foreach (Instance instance in cell.Instances)
            {
                losses.Dose(instance);
                WriteInstance(instance);
            }
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
                WriteArray(instance, r.Columns, r.Rows, r.ColumnStep, r.RowStep, column.X, row.Y);
            }
            else if (column.X == 0 && row.Y == 0)
            {
                WriteArray(instance, r.Rows, r.Columns, r.RowStep, r.ColumnStep, row.X, column.Y);
            }
            else
            {
                WriteOut(instance, r);
            }

            PlanePoint Turned(GridPoint step) => new((cos * step.X) + (sin * step.Y), (cos * step.Y) - (sin * step.X));
        }

        // Columns and rows are two-byte integers: larger arrays are written in parts.
        private void WriteArray(
            Instance instance, int columns, int rows, GridPoint columnStep, GridPoint rowStep, double columnSpacing, double rowSpacing)
        {
            for (long row = 0; row < rows; row += short.MaxValue)
            {
                for (long column = 0; column < columns; column += short.MaxValue)
                {
                    var at = new GridPoint(
                        (int)(instance.Origin.X + (column * columnStep.X) + (row * rowStep.X)),
                        (int)(instance.Origin.Y + (column * columnStep.Y) + (row * rowStep.Y)));
                    int columnsHere = (int)Math.Min(short.MaxValue, columns - column);
                    int rowsHere = (int)Math.Min(short.MaxValue, rows - row);
                    WriteInsert(instance, at, (columnsHere, rowsHere, columnSpacing, rowSpacing));
                }
            }
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
            bool isArray = array is { Columns: > 1 } or { Rows: > 1 };
            dxf.Entity("INSERT", DxfFrame.BaseLayer, isArray ? "AcDbMInsertBlock" : "AcDbBlockReference");
            dxf.Text(2, blockNames.Of(instance.CellName));
            dxf.Point(PlanePoint.From(at));
            dxf.Real(41, instance.Orientation.ScaleX);
            dxf.Real(42, instance.Orientation.ScaleY);
            dxf.Real(50, instance.Orientation.RotationDegrees);
            if (isArray && array is { } a)
            {
                dxf.Integer(70, a.Columns);
                dxf.Integer(71, a.Rows);
                dxf.Length(44, a.ColumnSpacing);
                dxf.Length(45, a.RowSpacing);
            }
        }
    }
}
