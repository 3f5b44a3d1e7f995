using PatternCompiler.Geometry;

namespace PatternCompiler.Model.Figures;

/// <summary>Corners and area of a figure, in real-valued grid steps on the drawing's axes.</summary>
internal static class FigureCorners
{
    /// <summary>Writes up to four corners and returns how many.</summary>
    public static int Write(in Figure figure, Span<(double X, double Y)> corners)
    {
        switch (figure.Kind)
        {
            case FigureKind.Dot:
                corners[0] = (figure.Start.X, figure.Start.Y);
                return 1;
            case FigureKind.Line:
                corners[0] = (figure.Start.X, figure.Start.Y);
                corners[1] = (figure.End.X, figure.End.Y);
                return 2;
            default:
                Trapezoid shape = figure.Shape;
                corners[0] = (XAt(shape.Left, shape.YBottom), shape.YBottom);
                corners[1] = (XAt(shape.Right, shape.YBottom), shape.YBottom);
                corners[2] = (XAt(shape.Left, shape.YTop), shape.YTop);
                corners[3] = (XAt(shape.Right, shape.YTop), shape.YTop);
                for (int i = 0; figure.IsTransposed && i < 4; i++)
                {
                    corners[i] = (corners[i].Y, corners[i].X);
                }

                return 4;
        }
    }

    /// <summary>A point inside a figure: the mean of its corners.</summary>
    public static (double X, double Y) InnerPoint(in Figure figure)
    {
        Span<(double X, double Y)> corners = stackalloc (double, double)[4];
        int count = Write(figure, corners);
        (double x, double y) = (0, 0);
        foreach ((double cornerX, double cornerY) in corners[..count])
        {
            (x, y) = (x + cornerX, y + cornerY);
        }

        return (x / count, y / count);
    }

    /// <summary>Area of a trapezoid in square grid steps.</summary>
    public static double AreaOf(in Trapezoid shape)
    {
        double bottom = XAt(shape.Right, shape.YBottom) - XAt(shape.Left, shape.YBottom);
        double top = XAt(shape.Right, shape.YTop) - XAt(shape.Left, shape.YTop);
        return (bottom + top) / 2 * ((double)shape.YTop - shape.YBottom);
    }

    private static double XAt(GridEdge edge, int y)
    {
        long height = (long)edge.Upper.Y - edge.Lower.Y;
        long run = (long)edge.Upper.X - edge.Lower.X;

        // The product fits 64 bits by the grid's limits; dividing it once keeps the error at one rounding.
        return edge.Lower.X + (double)(run * ((long)y - edge.Lower.Y)) / height;
    }
}
