using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Units;

namespace PatternCompiler.Model.Figures;

/// <summary>Reads the text form of figures.</summary>
internal static class FiguresTextReader
{
    public static FiguresDocument Read(CarrierInput input, string name, CancellationToken cancellation)
    {
        var reader = new Utf8LineReader(input, name);
        TextDocument.ReadFirstLine(reader, FiguresText.Name);
        var cursor = new LineCursor(TextDocument.ReadLine(reader, "the grid"), reader);
        cursor.Expect("grid"u8);
        long grid = cursor.Integer("the grid step in picometres", 1, FiguresText.LargestGrid);
        cursor.Expect("pm"u8);
        cursor.End();

        var layers = ImmutableArray.CreateBuilder<string>();
        var figures = new FigureList();
        while (true)
        {
            ReadOnlySpan<byte> line = TextDocument.ReadLine(reader, "a figure or the end line");
            cursor = new LineCursor(line, reader);
            ReadOnlySpan<byte> word = cursor.Field();
            if (word.SequenceEqual("layer"u8) && figures.Count == 0)
            {
                layers.Add(cursor.Quoted("a layer name"));
            }
            else if (word.SequenceEqual("end"u8))
            {
                TextDocument.ReadTotal(ref cursor, "figures", figures.Count);
                cursor.End();
                TextDocument.CheckNothingFollows(reader);
                return new FiguresDocument(new FiguresHeader(grid, layers.DrainToImmutable()), figures);
            }
            else
            {
                figures.Add(ReadFigure(word, ref cursor, layers.Count));
                if (figures.Count % 4096 == 0)
                {
                    cancellation.ThrowIfCancellationRequested();
                }
            }

            cursor.End();
        }
    }

    private static Figure ReadFigure(ReadOnlySpan<byte> word, ref LineCursor cursor, int layerCount)
    {
        bool isTransposed = word.Length > 0 && word[0] == 'v';
        ReadOnlySpan<byte> shape = isTransposed ? word[1..] : word;
        if (shape.SequenceEqual("trap"u8))
        {
            (int layer, DoseFactor dose) = ReadStart(ref cursor, layerCount);
            int first = ReadCoordinate(ref cursor, "the first parallel side");
            int second = ReadCoordinate(ref cursor, "the second parallel side");
            GridEdge left = ReadEdge(ref cursor, isTransposed);
            GridEdge right = ReadEdge(ref cursor, isTransposed);
            return Checked(ref cursor, layer, dose, new Trapezoid(first, second, left, right), isTransposed);
        }

        if (shape.SequenceEqual("rect"u8))
        {
            (int layer, DoseFactor dose) = ReadStart(ref cursor, layerCount);
            GridPoint low = ReadPoint(ref cursor, isTransposed);
            GridPoint high = ReadPoint(ref cursor, isTransposed);
            return Checked(ref cursor, layer, dose, Trapezoid.FromRectangle(low.X, low.Y, high.X, high.Y), isTransposed);
        }

        if (word.SequenceEqual("line"u8))
        {
            (int layer, DoseFactor dose) = ReadStart(ref cursor, layerCount);
            return Figure.FromLine(layer, dose, ReadPoint(ref cursor), ReadPoint(ref cursor));
        }

        if (word.SequenceEqual("dot"u8))
        {
            (int layer, DoseFactor dose) = ReadStart(ref cursor, layerCount);
            return Figure.FromDot(layer, dose, ReadPoint(ref cursor));
        }

        cursor.FailExpected("rect, vrect, trap, vtrap, line, dot or end", word);
        return default;
    }

    private static (int Layer, DoseFactor DoseFactor) ReadStart(ref LineCursor cursor, int layerCount)
    {
        int layer = (int)cursor.Integer("the layer's number", 0, int.MaxValue);
        if (layer >= layerCount)
        {
            cursor.Fail(
                DocumentCodes.OutOfRange,
                $"layer {layer} is not declared; the document has {layerCount} of them, counted from 0",
                "add a layer line above the first figure");
        }

        return (layer, new DoseFactor((int)cursor.Fixed("the dose factor", FiguresText.DoseDecimals, 0, FiguresText.LargestDose)));
    }

    private static Figure Checked(ref LineCursor cursor, int layer, DoseFactor dose, in Trapezoid shape, bool isTransposed)
    {
        if (FigureRules.FaultOf(shape) is string fault)
        {
            cursor.Fail(DocumentCodes.OutOfRange, fault, "give lower left before upper right");
        }

        return Figure.FromTrapezoid(layer, dose, shape, isTransposed);
    }

    private static GridEdge ReadEdge(ref LineCursor cursor, bool isTransposed) =>
        new(ReadPoint(ref cursor, isTransposed), ReadPoint(ref cursor, isTransposed));

    private static GridPoint ReadPoint(ref LineCursor cursor, bool isTransposed = false)
    {
        int x = ReadCoordinate(ref cursor, "x");
        int y = ReadCoordinate(ref cursor, "y");
        return isTransposed ? new GridPoint(y, x) : new GridPoint(x, y);
    }

    private static int ReadCoordinate(ref LineCursor cursor, string what) =>
        (int)cursor.Integer(what, -GridPoint.Limit, GridPoint.Limit);
}
