using PatternCompiler.Geometry;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Model.Figures;

/// <summary>Writes the compact binary form of figures.</summary>
internal sealed class FiguresBinaryWriter : IDocumentSink<FiguresHeader, Figure>
{
    private readonly FrameOutput output;
    private Figure previous;
    private GridPoint last;
    private long count;

    /// <summary>Writes to a stream, which stays open.</summary>
    public FiguresBinaryWriter(Stream target)
    {
        output = new FrameOutput(target);
    }

    /// <inheritdoc/>
    public void Begin(FiguresHeader header)
    {
        output.Magic(CarrierMagic.Figures);
        output.Unsigned((ulong)header.GridPicometres);
        output.Unsigned((ulong)header.Layers.Length);
        foreach (string layer in header.Layers)
        {
            output.Name(layer);
        }

        output.EndFrame();
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Figure> items)
    {
        foreach (ref readonly Figure figure in items)
        {
            WriteFigure(figure, count++ == 0);
        }
    }

    /// <inheritdoc/>
    public void End() => output.EndDocument(count);

    private void WriteFigure(in Figure figure, bool isFirst)
    {
        bool sameGroup = !isFirst && figure.Layer == previous.Layer && figure.DoseFactor == previous.DoseFactor;
        Trapezoid shape = figure.Shape;
        bool rectangle = figure.Kind == FigureKind.Trapezoid &&
            shape == Trapezoid.FromRectangle(shape.Left.Lower.X, shape.YBottom, shape.Right.Lower.X, shape.YTop);
        output.BeginItem();
        output.Byte((byte)((int)figure.Kind |
            (figure.IsTransposed ? FiguresBinary.Transposed : 0) |
            (rectangle ? FiguresBinary.Rectangle : 0) |
            (sameGroup ? FiguresBinary.SameGroup : 0)));
        if (!sameGroup)
        {
            output.Unsigned((ulong)figure.Layer);
            output.Unsigned((ulong)figure.DoseFactor.Millionths);
        }

        switch (figure.Kind)
        {
            case FigureKind.Dot:
                Point(figure.Start);
                break;
            case FigureKind.Line:
                Point(figure.Start);
                Point(figure.End);
                break;
            default:
                if (!rectangle)
                {
                    output.Signed(shape.YBottom);
                    output.Signed(shape.YTop);
                    Point(shape.Left.Lower);
                    Point(shape.Left.Upper);
                    Point(shape.Right.Lower);
                }
                else
                {
                    Point(shape.Left.Lower);
                }

                Point(shape.Right.Upper);
                break;
        }

        previous = figure;
    }

    private void Point(GridPoint point)
    {
        output.Signed((long)point.X - last.X);
        output.Signed((long)point.Y - last.Y);
        last = point;
    }
}
