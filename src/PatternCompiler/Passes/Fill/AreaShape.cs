using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// A trapezoid as seen along its lines: u runs along them, v across. Lines may run along the parallel sides or across
/// them; either way one line meets the figure in one interval. Lengths in femtometres.
/// </summary>
internal readonly struct AreaShape
{
    // Three factors of so many bits, and three such products together, fit 64.
    private const int SmallBits = 20;

    private readonly Trapezoid shape;
    private readonly long grid;
    private readonly bool linesAreParallelToSides;

    // Where both edges meet both parallel sides, to the femtometre; only needed for lines across the sides.
    private readonly long leftAtBottom;
    private readonly long leftAtTop;
    private readonly long rightAtBottom;
    private readonly long rightAtTop;

    // The same in grid steps, and the lengths of the parallel sides, as the nearest real numbers: for areas.
    private readonly double leftBottom;
    private readonly double leftTop;
    private readonly double rightBottom;
    private readonly double rightTop;
    private readonly double bottomWidth;
    private readonly double topWidth;

    public AreaShape(in Figure figure, long gridFemtometres, bool linesAlongX)
    {
        shape = figure.Shape;
        grid = gridFemtometres;
        linesAreParallelToSides = linesAlongX != figure.IsTransposed;
        (bottomWidth, topWidth) = (WidthAt(shape, shape.YBottom), WidthAt(shape, shape.YTop));
        leftBottom = Cut(shape.Left, shape.YBottom);
        leftTop = Cut(shape.Left, shape.YTop);
        rightBottom = Cut(shape.Right, shape.YBottom);
        rightTop = Cut(shape.Right, shape.YTop);
        if (linesAreParallelToSides)
        {
            Low = shape.YBottom * grid;
            High = shape.YTop * grid;
        }
        else
        {
            long bottom = shape.YBottom * grid;
            long top = shape.YTop * grid;
            leftAtBottom = EdgeCut.XAt(shape.Left, grid, bottom);
            leftAtTop = EdgeCut.XAt(shape.Left, grid, top);
            rightAtBottom = EdgeCut.XAt(shape.Right, grid, bottom);
            rightAtTop = EdgeCut.XAt(shape.Right, grid, top);
            Low = Math.Min(leftAtBottom, leftAtTop);
            High = Math.Max(rightAtBottom, rightAtTop);
        }
    }

    /// <summary>Smallest v.</summary>
    public long Low { get; }

    /// <summary>Largest v.</summary>
    public long High { get; }

    /// <summary>Area in square femtometres.</summary>
    public double Area => (bottomWidth + topWidth) / 2 * ((double)shape.YTop - shape.YBottom) * grid * grid;

    /// <summary>True if a figure's lines run along the sample's x axis: as asked, or if they are at least as long, on average, as those along y.</summary>
    public static bool LinesRunAlongX(in Figure figure, FillDirection direction)
    {
        if (direction != FillDirection.LongSide)
        {
            return direction == FillDirection.X;
        }

        Trapezoid shape = figure.Shape;
        double meanWidth = (WidthAt(shape, shape.YBottom) + WidthAt(shape, shape.YTop)) / 2;
        return meanWidth >= (double)shape.YTop - shape.YBottom != figure.IsTransposed;
    }

    /// <summary>The interval in which the line at v meets the figure; empty (end below start) where it misses.</summary>
    public (long Start, long End) At(long v)
    {
        if (v < Low || v > High)
        {
            return (0, -1);
        }

        if (linesAreParallelToSides)
        {
            return (EdgeCut.XAt(shape.Left, grid, v), EdgeCut.XAt(shape.Right, grid, v));
        }

        long start = shape.YBottom * grid;
        long end = shape.YTop * grid;
        Restrict(shape.Left, leftAtBottom, leftAtTop, v, innerIsRight: true, ref start, ref end);
        Restrict(shape.Right, rightAtBottom, rightAtTop, v, innerIsRight: false, ref start, ref end);
        return (start, end);
    }

    /// <summary>
    /// As <see cref="At"/>, in real numbers, for v between <see cref="Low"/> and <see cref="High"/>. Both ends are linear
    /// in v between neighbouring <see cref="Corners"/>.
    /// </summary>
    public (double Start, double End) Between(double v)
    {
        double height = (double)shape.YTop - shape.YBottom;
        if (linesAreParallelToSides)
        {
            double part = Math.Clamp((v / grid - shape.YBottom) / height, 0, 1);
            return (
                (leftBottom + part * (leftTop - leftBottom)) * grid,
                (rightBottom + part * (rightTop - rightBottom)) * grid);
        }

        double at = v / grid;
        double start = 0;
        double end = 1;
        RestrictPart(leftBottom - at, leftTop - at, ref start, ref end);
        RestrictPart(at - rightBottom, at - rightTop, ref start, ref end);
        return ((shape.YBottom + start * height) * grid, (shape.YBottom + Math.Max(start, end) * height) * grid);

        // Keeps the part of the height at which the distance outside the edge is zero or less.
        static void RestrictPart(double outsideAtBottom, double outsideAtTop, ref double start, ref double end)
        {
            if (outsideAtBottom > 0 && outsideAtTop < outsideAtBottom)
            {
                start = Math.Max(start, Math.Min(1, outsideAtBottom / (outsideAtBottom - outsideAtTop)));
            }

            if (outsideAtTop > 0 && outsideAtBottom < outsideAtTop)
            {
                end = Math.Min(end, Math.Max(0, outsideAtBottom / (outsideAtBottom - outsideAtTop)));
            }
        }
    }

    /// <summary>Values of v at which a side of the figure changes its slope, ascending, from <see cref="Low"/> to <see cref="High"/>.</summary>
    /// <param name="corners">Room for four values.</param>
    /// <returns>How many were written.</returns>
    public int Corners(Span<double> corners)
    {
        if (linesAreParallelToSides)
        {
            corners[0] = Low;
            corners[1] = High;
            return 2;
        }

        corners[0] = leftBottom * grid;
        corners[1] = leftTop * grid;
        corners[2] = rightBottom * grid;
        corners[3] = rightTop * grid;
        corners[..4].Sort();
        return 4;
    }

    /// <summary>Area of the part below v, in square femtometres; 0 at <see cref="Low"/>, <see cref="Area"/> at <see cref="High"/>.</summary>
    public double AreaBelow(double v)
    {
        double height = (double)shape.YTop - shape.YBottom;
        double at = v / grid;
        if (linesAreParallelToSides)
        {
            double part = Math.Clamp((at - shape.YBottom) / height, 0, 1);
            return part * (bottomWidth + part * (topWidth - bottomWidth) / 2) * height * grid * grid;
        }

        return (AreaLeftOf(leftBottom, leftTop, at) - AreaLeftOf(rightBottom, rightTop, at)) * height * grid * grid;
    }

    /// <summary>
    /// Exact width at a height on the grid: both edges over one denominator, so that nothing cancels.
    /// </summary>
    private static double WidthAt(in Trapezoid shape, int height)
    {
        GridEdge left = shape.Left;
        GridEdge right = shape.Right;
        long leftRise = (long)left.Upper.Y - left.Lower.Y;
        long rightRise = (long)right.Upper.Y - right.Lower.Y;
        long apart = (long)right.Lower.X - left.Lower.X;
        long leftRun = ((long)left.Upper.X - left.Lower.X) * ((long)height - left.Lower.Y);
        long rightRun = ((long)right.Upper.X - right.Lower.X) * ((long)height - right.Lower.Y);
        double denominator = (double)leftRise * rightRise;

        // Nearly all figures are so small that 64 bits hold the sum, which is exact either way and far faster in them.
        return IsSmall(leftRise) && IsSmall(rightRise) && IsSmall(apart) && IsSmall(leftRun >> SmallBits) && IsSmall(rightRun >> SmallBits)
            ? (apart * leftRise * rightRise + rightRun * leftRise - leftRun * rightRise) / denominator
            : (double)((Int128)apart * leftRise * rightRise + (Int128)rightRun * leftRise - (Int128)leftRun * rightRise) / denominator;
    }

    private static bool IsSmall(long value) => Math.Abs(value) < 1 << SmallBits;

    private static double Cut(in GridEdge edge, int height)
    {
        double run = ((double)edge.Upper.X - edge.Lower.X) * ((double)height - edge.Lower.Y);
        return edge.Lower.X + run / ((double)edge.Upper.Y - edge.Lower.Y);
    }

    /// <summary>Mean over the height of how far <paramref name="at"/> lies to the right of the edge (0 where it does not).</summary>
    private static double AreaLeftOf(double bottom, double top, double at)
    {
        double low = Math.Min(bottom, top);
        double high = Math.Max(bottom, top);
        return at <= low ? 0
            : at >= high ? at - (low + high) / 2
            : (at - low) * (at - low) / (2 * (high - low));
    }

    /// <summary>Narrows the interval to the heights at which x lies on the inner side of an edge.</summary>
    private void Restrict(in GridEdge edge, long edgeBottom, long edgeTop, long x, bool innerIsRight, ref long start, ref long end)
    {
        bool bottomIsInside = innerIsRight ? x >= edgeBottom : x <= edgeBottom;
        bool topIsInside = innerIsRight ? x >= edgeTop : x <= edgeTop;
        if (bottomIsInside && topIsInside)
        {
            return;
        }

        if (!bottomIsInside && !topIsInside)
        {
            end = start - 1;
        }
        else if (bottomIsInside)
        {
            end = Math.Min(end, EdgeCut.YAt(edge, grid, x));
        }
        else
        {
            start = Math.Max(start, EdgeCut.YAt(edge, grid, x));
        }
    }
}
