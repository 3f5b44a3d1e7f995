using PatternCompiler.Geometry;

namespace PatternCompiler.Model.Figures;

/// <summary>What every figure of a document obeys; readers check it so that the stages after it can rely on it.</summary>
internal static class FigureRules
{
    /// <summary>What is wrong with a trapezoid, or null.</summary>
    public static string? FaultOf(in Trapezoid shape)
    {
        if (shape.YBottom >= shape.YTop)
        {
            return "the first parallel side does not lie before the second";
        }

        if (!Spans(shape.Left, shape) || !Spans(shape.Right, shape))
        {
            return "a side does not reach from one parallel side to the other, or has its ends in the wrong order";
        }

        return IsLeftOf(shape.Left, shape.Right, shape.YBottom) && IsLeftOf(shape.Left, shape.Right, shape.YTop)
            ? null
            : "the two sides cross or stand in the wrong order";
    }

    private static bool Spans(GridEdge edge, in Trapezoid shape) =>
        edge.Lower.Y <= shape.YBottom && edge.Upper.Y >= shape.YTop;

    // Compares the exact x of both edges at a height, as fractions over the edges' heights.
    private static bool IsLeftOf(GridEdge left, GridEdge right, int y)
    {
        (Int128 leftX, long leftHeight) = At(left, y);
        (Int128 rightX, long rightHeight) = At(right, y);
        return leftX * rightHeight <= rightX * leftHeight;
    }

    private static (Int128 Numerator, long Denominator) At(GridEdge edge, int y)
    {
        long height = (long)edge.Upper.Y - edge.Lower.Y;
        long run = (long)edge.Upper.X - edge.Lower.X;
        return ((Int128)edge.Lower.X * height + (Int128)run * ((long)y - edge.Lower.Y), height);
    }
}
