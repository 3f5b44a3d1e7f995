using System.Buffers.Text;
using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Units;

namespace PatternCompiler.Model.Layout;

/// <summary>Prints the statements of a layout into a buffer that goes to the stream whenever it is full.</summary>
internal sealed class LayoutTextWriter(Stream output, LayoutDocument document, bool withPlaces) : IDisposable
{
    // Points of a shape are spread over lines of about this many bytes, so that a change of one shows as a short difference.
    private const int LineLength = 100;
    private const int LongestItem = 64;

    private readonly byte[] buffer = new byte[1 << 16];
    private readonly byte[][] layerNames = [.. document.Layers.Select(name => Encoding.UTF8.GetBytes(LayoutWriter.Quote(name)))];
    private readonly long grid = document.GridPicometres;
    private int used;
    private int lineStart;
    private ReadOnlyMemory<byte> indent;

    /// <summary>Prints everything before the first cell.</summary>
    public void WriteHead()
    {
        Write("layout 1\nunit um\ngrid "u8);
        Write(LengthText.Nanometres(grid));
        EndLine();
        if (document.TopCell != LayoutWriter.DefaultDrawingName)
        {
            Write("drawing "u8);
            Write(LayoutWriter.Quote(document.TopCell));
            EndLine();
        }

        if (document.IsPlaced)
        {
            Write("placed"u8);
            EndLine();
        }

        foreach (byte[] name in layerNames)
        {
            Write("layer "u8);
            Write(name);
            EndLine();
        }

        if (withPlaces)
        {
            foreach (string line in PlaceText.Head(document.Places))
            {
                Write(line);
                EndLine();
            }
        }
    }

    /// <summary>Prints a cell as a block.</summary>
    public void WriteCell(Cell cell)
    {
        Write("\ncell "u8);
        Write(LayoutWriter.Quote(cell.Name));
        EndLine();
        indent = "  "u8.ToArray();
        WriteContent(cell);
        indent = default;
        Write("end"u8);
        EndLine();
    }

    /// <summary>Prints the cell that is the drawing.</summary>
    public void WriteDrawing(Cell cell)
    {
        if (cell.Shapes.Length + cell.Instances.Length > 0)
        {
            Write("\n"u8);
            WriteContent(cell);
        }
    }

    /// <summary>Sends what is left to the stream.</summary>
    public void Dispose() => Flush();

    private void WriteContent(Cell cell)
    {
        foreach (Shape shape in cell.Shapes)
        {
            WriteShape(shape);
        }

        foreach (Instance instance in cell.Instances)
        {
            WriteInstance(instance);
        }
    }

    private void WriteShape(Shape shape)
    {
        switch (shape)
        {
            case RectangleShape rectangle:
                Begin("rect on "u8, shape);
                WritePoint(" from "u8, new(rectangle.XLeft, rectangle.YBottom));
                WritePoint(" to "u8, new(rectangle.XRight, rectangle.YTop));
                break;
            case PolygonShape polygon:
                WritePolygon(polygon);
                return;
            case CircleShape circle:
                Begin("circle on "u8, shape);
                WritePoint(" at "u8, circle.Centre);
                WriteLength(" radius "u8, circle.Radius);
                break;
            case RingShape ring:
                Begin("ring on "u8, shape);
                WritePoint(" at "u8, ring.Centre);
                WriteLength(" inner "u8, ring.InnerRadius);
                WriteLength(" outer "u8, ring.OuterRadius);
                break;
            case PathShape path:
                Begin("path on "u8, shape);
                WriteLength(" width "u8, path.Width);
                Write(path.End switch { PathEnd.Square => " ends square"u8, PathEnd.Round => " ends round"u8, _ => default });
                WriteDose(shape.DoseFactor);
                WritePoints(path.Points.AsSpan());
                EndLine();
                return;
            case LineShape line:
                Begin("line on "u8, shape);
                WriteDose(shape.DoseFactor);
                WritePoints(line.Points.AsSpan());
                EndLine();
                return;
            case DotShape dot:
                Begin("dot on "u8, shape);
                WritePoint(" at "u8, dot.Position);
                break;
            default:
                throw new InvalidOperationException($"No text for a shape of type {shape.GetType().Name}.");
        }

        WriteDose(shape.DoseFactor);
        EndLine();
    }

    // Rings of fewer than three points cover nothing and have no text.
    private void WritePolygon(PolygonShape polygon)
    {
        ContourSet contours = polygon.Contours;
        bool isFirst = true;
        for (int i = 0; i < contours.Count; i++)
        {
            ReadOnlySpan<GridPoint> ring = contours[i];
            if (ring.Length < 3)
            {
                continue;
            }

            if (isFirst)
            {
                Begin("polygon on "u8, polygon);
                Write(polygon.FillRule switch { FillRule.NonZero => " rule nonzero"u8, FillRule.Positive => " rule positive"u8, _ => default });
                WriteDose(polygon.DoseFactor);
            }
            else
            {
                Write(indent.Span);
                bool isHole = polygon.FillRule == FillRule.EvenOdd || IsClockwise(ring);
                Write(isHole ? "  hole"u8 : "  part"u8);
            }

            WritePoints(ring);
            EndLine();
            isFirst = false;
        }
    }

    private void WriteInstance(Instance instance)
    {
        Repetition repetition = instance.Repetition;
        bool isArray = repetition.Columns > 1 || repetition.Rows > 1;
        Write(indent.Span);
        Write(isArray ? "array "u8 : "place "u8);
        Write(LayoutWriter.Quote(instance.CellName));
        WritePlace(instance.Place, instance.Element);
        WritePoint(" at "u8, instance.Origin);
        WriteOrientation(instance.Orientation);
        WriteDose(instance.DoseFactor);
        if (repetition.Columns > 1)
        {
            Write(" columns "u8);
            WriteInteger(repetition.Columns);
            WriteStep(" column-step "u8, repetition.ColumnStep, repetition.ColumnStep.X, repetition.ColumnStep.Y == 0);
            WriteDoseStep(" column-dose "u8, repetition.ColumnDoseStepMillionths);
        }

        if (repetition.Rows > 1)
        {
            Write(" rows "u8);
            WriteInteger(repetition.Rows);
            WriteStep(" row-step "u8, repetition.RowStep, repetition.RowStep.Y, repetition.RowStep.X == 0);
            WriteDoseStep(" row-dose "u8, repetition.RowDoseStepMillionths);
        }

        EndLine();
    }

    private void WriteOrientation(Orientation orientation)
    {
        (double x, double y) = (orientation.ScaleX, orientation.ScaleY);
        if (x < 0 != y < 0)
        {
            Write(x < 0 ? " mirror left-right"u8 : " mirror up-down"u8);
            (x, y) = (Math.Abs(x), Math.Abs(y));
        }

        if (x != 1 || y != 1)
        {
            Write(" scale "u8);
            Write(x == y ? NumberText.Format(x) : $"({NumberText.Format(x)}, {NumberText.Format(y)})");
        }

        if (orientation.RotationDegrees != 0)
        {
            Write(" rotate "u8);
            Write(NumberText.Format(orientation.RotationDegrees));
        }
    }

    private void Begin(ReadOnlySpan<byte> opening, Shape shape)
    {
        Write(indent.Span);
        Write(opening);
        Write(layerNames[shape.Layer]);
        WritePlace(shape.Place);
    }

    private void WritePlace(PlaceId place, ArrayElement element = default)
    {
        if (withPlaces)
        {
            Write(" drawn "u8);
            Write(PlaceText.Of(document.Places, place));
            if (element != default)
            {
                Write(string.Create(CultureInfo.InvariantCulture, $"/{element.Column}/{element.Row}"));
            }
        }
    }

    private void WritePoints(ReadOnlySpan<GridPoint> points)
    {
        foreach (GridPoint point in points)
        {
            if (used - lineStart > LineLength)
            {
                EndLine();
                Write(indent.Span);
                WritePoint("    "u8, point);
            }
            else
            {
                WritePoint(" "u8, point);
            }
        }
    }

    private void WritePoint(ReadOnlySpan<byte> before, GridPoint point)
    {
        Write(before);
        Write("("u8);
        WriteNumber(point.X);
        Write(", "u8);
        WriteNumber(point.Y);
        Write(")"u8);
    }

    private void WriteLength(ReadOnlySpan<byte> before, int steps)
    {
        Write(before);
        WriteNumber(steps);
    }

    private void WriteStep(ReadOnlySpan<byte> before, GridPoint step, int alongAxis, bool isAlongAxis)
    {
        if (isAlongAxis)
        {
            WriteLength(before, alongAxis);
        }
        else
        {
            WritePoint(before, step);
        }
    }

    private void WriteDose(DoseFactor dose)
    {
        if (dose != DoseFactor.One)
        {
            Write(" dose "u8);
            Write(dose.ToString());
        }
    }

    private void WriteDoseStep(ReadOnlySpan<byte> before, int millionths)
    {
        if (millionths != 0)
        {
            Write(before);
            Write((millionths / 1_000_000m).ToString("0.######", CultureInfo.InvariantCulture));
        }
    }

    private void WriteInteger(int value)
    {
        MakeRoom(LongestItem);
        Utf8Formatter.TryFormat(value, buffer.AsSpan(used), out int count);
        used += count;
    }

    /// <summary>A coordinate in micrometres, exactly.</summary>
    private void WriteNumber(int steps)
    {
        MakeRoom(LongestItem);
        long picometres = Math.Abs((long)steps) * grid;
        if (steps < 0)
        {
            buffer[used++] = (byte)'-';
        }

        (long whole, long fraction) = Math.DivRem(picometres, 1_000_000);
        Utf8Formatter.TryFormat(whole, buffer.AsSpan(used), out int count);
        used += count;
        if (fraction == 0)
        {
            return;
        }

        buffer[used++] = (byte)'.';
        for (long unit = 100_000; fraction != 0; unit /= 10)
        {
            buffer[used++] = (byte)('0' + (fraction / unit));
            fraction %= unit;
        }
    }

    private static bool IsClockwise(ReadOnlySpan<GridPoint> ring)
    {
        Int128 doubleArea = 0;
        GridPoint last = ring[^1];
        foreach (GridPoint point in ring)
        {
            doubleArea += ((long)last.X * point.Y) - ((long)point.X * last.Y);
            last = point;
        }

        return doubleArea < 0;
    }

    private void EndLine()
    {
        Write("\n"u8);
        lineStart = used;
    }

    private void Write(string text) => Write(Encoding.UTF8.GetBytes(text));

    private void Write(ReadOnlySpan<byte> text)
    {
        while (text.Length > 0)
        {
            MakeRoom(1);
            int count = Math.Min(text.Length, buffer.Length - used);
            text[..count].CopyTo(buffer.AsSpan(used));
            used += count;
            text = text[count..];
        }
    }

    private void MakeRoom(int count)
    {
        if (buffer.Length - used < count)
        {
            Flush();
        }
    }

    private void Flush()
    {
        output.Write(buffer, 0, used);
        lineStart -= used;
        used = 0;
    }
}
