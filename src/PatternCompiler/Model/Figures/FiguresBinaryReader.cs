using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Units;

namespace PatternCompiler.Model.Figures;

/// <summary>Reads the binary form of figures.</summary>
internal sealed class FiguresBinaryReader
{
    private readonly FrameInput input;
    private GridPoint last;

    private FiguresBinaryReader(FrameInput input)
    {
        this.input = input;
    }

    public static FiguresDocument Read(CarrierInput input, string name, CancellationToken cancellation) =>
        new FiguresBinaryReader(new FrameInput(input, name)).Read(cancellation);

    private FiguresDocument Read(CancellationToken cancellation)
    {
        input.Magic();
        if (!input.TryNextFrame())
        {
            input.Corrupt("the document has no header");
        }

        long grid = input.Checked("the grid step in picometres", (long)input.Unsigned(), 1, FiguresText.LargestGrid);
        ImmutableArray<string> layers = BinaryDocument.ReadLayers(input);
        var figures = new FigureList();
        Figure previous = default;
        while (input.TryNextFrame())
        {
            cancellation.ThrowIfCancellationRequested();
            while (input.HasMore)
            {
                previous = ReadFigure(previous, figures.Count == 0, layers.Length);
                figures.Add(previous);
            }
        }

        BinaryDocument.CheckTotal(input, "figures", figures.Count);
        return new FiguresDocument(new FiguresHeader(grid, layers), figures);
    }

    private Figure ReadFigure(in Figure previous, bool isFirst, int layerCount)
    {
        byte flags = input.Byte();
        (int layer, DoseFactor dose) = (previous.Layer, previous.DoseFactor);
        bool sameGroup = (flags & FiguresBinary.SameGroup) != 0;
        if (sameGroup && isFirst)
        {
            input.Corrupt("the first figure has no layer");
        }

        if (!sameGroup)
        {
            layer = (int)input.Checked("the layer's number", (long)input.Unsigned(), 0, layerCount - 1);
            dose = new DoseFactor((int)input.Checked(
                "the dose factor in millionths", (long)input.Unsigned(), 0, FiguresText.LargestDose));
        }

        bool transposed = (flags & FiguresBinary.Transposed) != 0;
        return (FigureKind)(flags & FiguresBinary.KindMask) switch
        {
            FigureKind.Dot => Figure.FromDot(layer, dose, Point()),
            FigureKind.Line => Figure.FromLine(layer, dose, Point(), Point()),
            FigureKind.Trapezoid => Figure.FromTrapezoid(
                layer, dose, ReadShape((flags & FiguresBinary.Rectangle) != 0), transposed),
            _ => throw Unknown(flags),
        };
    }

    private Trapezoid ReadShape(bool isRectangle)
    {
        Trapezoid shape;
        if (isRectangle)
        {
            GridPoint low = Point();
            GridPoint high = Point();
            shape = Trapezoid.FromRectangle(low.X, low.Y, high.X, high.Y);
        }
        else
        {
            int bottom = (int)input.Checked("a parallel side", input.Signed(), -GridPoint.Limit, GridPoint.Limit);
            int top = (int)input.Checked("a parallel side", input.Signed(), -GridPoint.Limit, GridPoint.Limit);
            shape = new Trapezoid(bottom, top, new GridEdge(Point(), Point()), new GridEdge(Point(), Point()));
        }

        if (FigureRules.FaultOf(shape) is string fault)
        {
            input.Corrupt(fault);
        }

        return shape;
    }

    // Differences wrap around freely; only the sum has to be in range.
    private GridPoint Point()
    {
        long x = unchecked(last.X + input.Signed());
        long y = unchecked(last.Y + input.Signed());
        last = new GridPoint(
            (int)input.Checked("x", x, -GridPoint.Limit, GridPoint.Limit),
            (int)input.Checked("y", y, -GridPoint.Limit, GridPoint.Limit));
        return last;
    }

    private CompileException Unknown(byte flags) => new(
        DocumentCodes.Corrupt,
        $"there is no kind of figure {flags & FiguresBinary.KindMask}",
        input.CurrentPlace,
        "make the document again; it was damaged on its way");
}
