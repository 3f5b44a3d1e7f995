using PatternCompiler.Geometry;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Model.Figures;

/// <summary>Writes figures as text, one a line, in whole grid steps; the same figures always give the same bytes.</summary>
internal sealed class FiguresTextWriter : IDocumentSink<FiguresHeader, Figure>
{
    private readonly Utf8Output output;
    private long count;

    /// <summary>Writes to a stream, which stays open.</summary>
    public FiguresTextWriter(Stream target)
    {
        output = new Utf8Output(target);
    }

    /// <inheritdoc/>
    public void Begin(FiguresHeader header)
    {
        output.Raw(FiguresText.FirstLine);
        output.EndLine();
        output.Raw("grid"u8);
        output.Integer(header.GridPicometres);
        output.Raw(" pm\n"u8);
        foreach (string layer in header.Layers)
        {
            output.Raw("layer"u8);
            output.Quoted(layer);
            output.EndLine();
        }
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Figure> items)
    {
        count += items.Length;
        foreach (ref readonly Figure figure in items)
        {
            WriteFigure(figure);
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        output.Raw("end"u8);
        output.Integer(count);
        output.EndLine();
        output.Flush();
    }

    private void WriteFigure(in Figure figure)
    {
        switch (figure.Kind)
        {
            case FigureKind.Line:
                Start("line"u8, figure);
                Point(figure.Start);
                Point(figure.End);
                break;
            case FigureKind.Dot:
                Start("dot"u8, figure);
                Point(figure.Start);
                break;
            case FigureKind.Trapezoid when IsPlainRectangle(figure.Shape):
                Start(figure.IsTransposed ? "vrect"u8 : "rect"u8, figure);
                Point(figure.Shape.Left.Lower, figure.IsTransposed);
                Point(figure.Shape.Right.Upper, figure.IsTransposed);
                break;
            case FigureKind.Trapezoid:
                Start(figure.IsTransposed ? "vtrap"u8 : "trap"u8, figure);
                output.Integer(figure.Shape.YBottom);
                output.Integer(figure.Shape.YTop);
                Edge(figure.Shape.Left, figure.IsTransposed);
                Edge(figure.Shape.Right, figure.IsTransposed);
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(figure), figure.Kind, "Unknown kind of figure.");
        }

        output.EndLine();
    }

    // The short form holds what the long form holds only if the sides end at the rectangle's own corners.
    private static bool IsPlainRectangle(in Trapezoid shape) =>
        shape == Trapezoid.FromRectangle(shape.Left.Lower.X, shape.YBottom, shape.Right.Lower.X, shape.YTop);

    private void Start(ReadOnlySpan<byte> word, in Figure figure)
    {
        output.Raw(word);
        output.Integer(figure.Layer);
        output.Fixed(figure.DoseFactor.Millionths, FiguresText.DoseDecimals);
    }

    private void Edge(GridEdge edge, bool isTransposed)
    {
        Point(edge.Lower, isTransposed);
        Point(edge.Upper, isTransposed);
    }

    private void Point(GridPoint point, bool isTransposed = false)
    {
        output.Integer(isTransposed ? point.Y : point.X);
        output.Integer(isTransposed ? point.X : point.Y);
    }
}
