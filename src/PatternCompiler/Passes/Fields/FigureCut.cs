using System.Numerics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fields;

/// <summary>
/// Cuts figures along an upright seam. Every part is bounded by true edges, heights and cuts between grid points, so that
/// the parts cover exactly what the figure covered. Where a slanted side crosses the seam, the cut leaves the seam: by no
/// more than <paramref name="stray"/> where that saves a sliver, otherwise by no more than the side runs over one grid step of
/// height. A side that runs further than <paramref name="longestRun"/> is bent at the seam to a grid point instead, by no
/// more than half a grid step.
/// </summary>
/// <param name="stray">Largest distance, in grid steps, by which a cut leaves the seam to save a sliver.</param>
/// <param name="longestRun">Largest distance by which it leaves the seam where it must.</param>
internal sealed class FigureCut(int stray, int longestRun)
{
    // The sides of which the pieces of bent ones come, also as seen in a mirror: what a seam rounds must not add up from seam to seam.
    private readonly Dictionary<GridEdge, GridEdge> sides = [];

    /// <summary>Number of sides that were bent so far.</summary>
    public int Bent { get; private set; }

    /// <summary>What comes next are parts of another figure.</summary>
    public void BeginFigure() => sides.Clear();

    /// <summary>Adds what lies left of the seam to one list and what lies right of it to the other, in writing order.</summary>
    public void Cut(in Figure figure, int seam, List<Figure> left, List<Figure> right)
    {
        switch (figure.Kind)
        {
            case FigureKind.Dot:
                (figure.Start.X < seam ? left : right).Add(figure);
                break;
            case FigureKind.Line:
                CutLine(figure, seam, left, right);
                break;
            case FigureKind.Trapezoid when figure.IsTransposed:
                CutAcross(figure, seam, left, right);
                break;
            default:
                CutLengthwise(figure, seam, left, right);
                break;
        }
    }

    private static void CutAcross(in Figure figure, int seam, List<Figure> left, List<Figure> right)
    {
        Trapezoid shape = figure.Shape;
        if (shape.YBottom < seam)
        {
            left.Add(figure with { Shape = shape with { YTop = Math.Min(shape.YTop, seam) } });
        }

        if (shape.YTop > seam)
        {
            right.Add(figure with { Shape = shape with { YBottom = Math.Max(shape.YBottom, seam) } });
        }
    }

    private void CutLengthwise(in Figure figure, int seam, List<Figure> left, List<Figure> right)
    {
        Trapezoid shape = figure.Shape;
        int leftBelow = EdgeLine.Side(shape.Left, shape.YBottom, seam), leftAbove = EdgeLine.Side(shape.Left, shape.YTop, seam);
        int rightBelow = EdgeLine.Side(shape.Right, shape.YBottom, seam), rightAbove = EdgeLine.Side(shape.Right, shape.YTop, seam);
        if (leftBelow >= 0 && leftAbove >= 0)
        {
            right.Add(figure);
        }
        else if (rightBelow <= 0 && rightAbove <= 0)
        {
            left.Add(figure);
        }
        else if (CutEdge(shape, seam) is GridEdge cut)
        {
            AddUnlessEmpty(figure with { Shape = shape with { Right = cut } }, left);
            AddUnlessEmpty(figure with { Shape = shape with { Left = cut } }, right);
        }
        else if (leftBelow * leftAbove < 0)
        {
            if (RunOf(shape.Left) > longestRun && Corner(shape, seam) is GridPoint corner)
            {
                CutBent(figure, corner, left, right);
                return;
            }

            // The part where the left side lies beyond the seam belongs to the right whole.
            int height = leftAbove > 0 ? EdgeLine.HeightBelow(shape.Left, seam) : EdgeLine.HeightAbove(shape.Left, seam);
            CutAtHeight(figure, height, wholeIsAbove: leftAbove > 0, seam, right, left, right);
        }
        else if (RunOf(shape.Right) > longestRun && Corner(Mirrored(figure).Shape, -seam) is GridPoint corner)
        {
            // Seen in a mirror, the right side is the left one.
            List<Figure> mirroredLeft = [], mirroredRight = [];
            CutBent(Mirrored(figure), corner, mirroredLeft, mirroredRight);
            left.AddRange(mirroredRight.Select(part => Mirrored(part)));
            right.AddRange(mirroredLeft.Select(part => Mirrored(part)));
        }
        else
        {
            int height = rightAbove < 0 ? EdgeLine.HeightBelow(shape.Right, seam) : EdgeLine.HeightAbove(shape.Right, seam);
            CutAtHeight(figure, height, wholeIsAbove: rightAbove < 0, seam, left, left, right);
        }
    }

    private static void AddUnlessEmpty(in Figure part, List<Figure> parts)
    {
        if (!IsEmptyAt(part.Shape, part.Shape.YBottom) || !IsEmptyAt(part.Shape, part.Shape.YTop))
        {
            parts.Add(part);
        }
    }

    private static bool IsEmptyAt(in Trapezoid shape, int y)
    {
        int x = EdgeLine.Ceiling(shape.Left, y);
        return EdgeLine.Side(shape.Left, y, x) == 0 && EdgeLine.Side(shape.Right, y, x) == 0;
    }

    /// <summary>One cut from parallel side to parallel side, or null if it would leave the seam too far.</summary>
    private GridEdge? CutEdge(in Trapezoid shape, int seam)
    {
        int? below = Inside(shape, shape.YBottom, seam), above = Inside(shape, shape.YTop, seam);
        return below is int low && above is int high && Math.Abs((long)low - seam) <= stray && Math.Abs((long)high - seam) <= stray
            ? new GridEdge(new(low, shape.YBottom), new(high, shape.YTop))
            : null;
    }

    /// <summary>The grid point of a parallel side that is nearest to the seam, or null if the side holds none.</summary>
    private static int? Inside(in Trapezoid shape, int y, int seam)
    {
        int first = EdgeLine.Ceiling(shape.Left, y), last = EdgeLine.Floor(shape.Right, y);
        return first <= last ? Math.Clamp(seam, first, last) : null;
    }

    private void CutAtHeight(
        in Figure figure, int height, bool wholeIsAbove, int seam, List<Figure> whole, List<Figure> left, List<Figure> right)
    {
        Trapezoid shape = figure.Shape;
        if (height <= shape.YBottom || height >= shape.YTop)
        {
            // The side crosses the seam within one grid step of the end.
            whole.Add(figure);
            return;
        }

        Figure below = figure with { Shape = shape with { YTop = height } };
        Figure above = figure with { Shape = shape with { YBottom = height } };
        if (wholeIsAbove)
        {
            CutLengthwise(below, seam, left, right);
            whole.Add(above);
        }
        else
        {
            whole.Add(below);
            CutLengthwise(above, seam, left, right);
        }
    }

    /// <summary>The grid point of the seam nearest to where the left side crosses it; null if the right side leaves no room for it.</summary>
    private GridPoint? Corner(in Trapezoid shape, int seam)
    {
        GridEdge side = sides.GetValueOrDefault(shape.Left, shape.Left);
        int below = EdgeLine.HeightBelow(side, seam);
        int height = EdgeLine.Side(side, below, seam) == 0 || IsNearer(side, below, seam) ? below : below + 1;
        return EdgeLine.Side(shape.Right, height, seam) >= 0 ? new GridPoint(seam, height) : null;
    }

    /// <summary>Cuts where the left side crosses the seam and is nearly parallel to the parallel sides: it goes through a grid point of the seam.</summary>
    private void CutBent(in Figure figure, GridPoint corner, List<Figure> left, List<Figure> right)
    {
        Trapezoid shape = figure.Shape;
        bool rises = shape.Left.Upper.X > shape.Left.Lower.X;
        GridEdge lower = new(shape.Left.Lower, corner), upper = new(corner, shape.Left.Upper);
        if (!sides.TryGetValue(shape.Left, out GridEdge side))
        {
            side = shape.Left;
            Bent++;
        }

        foreach (GridEdge piece in new[] { lower, upper })
        {
            (sides[piece], sides[Mirrored(piece)]) = (side, Mirrored(side));
        }

        if (corner.Y > shape.YBottom)
        {
            Add(figure with { Shape = shape with { YTop = Math.Min(corner.Y, shape.YTop), Left = lower } }, rises);
        }

        if (corner.Y < shape.YTop)
        {
            Add(figure with { Shape = shape with { YBottom = Math.Max(corner.Y, shape.YBottom), Left = upper } }, !rises);
        }

        void Add(in Figure part, bool reachesLeft)
        {
            if (reachesLeft)
            {
                CutLengthwise(part, corner.X, left, right);
            }
            else
            {
                right.Add(part);
            }
        }
    }

    /// <summary>True if the edge meets the upright line nearer to a height than to the next one.</summary>
    private static bool IsNearer(GridEdge edge, int height, int x)
    {
        // The edge is at x at height + part; twice the part is below one if it has not passed x halfway up.
        long rise = (long)edge.Upper.Y - edge.Lower.Y, run = (long)edge.Upper.X - edge.Lower.X;
        Int128 twicePassed = (2 * (Int128)((long)x - edge.Lower.X) * rise) - ((Int128)run * ((2 * ((long)height - edge.Lower.Y)) + 1));
        return run > 0 ? twicePassed < 0 : twicePassed > 0;
    }

    /// <summary>How far an edge runs over one grid step of height.</summary>
    public static long RunOf(GridEdge edge)
    {
        long height = (long)edge.Upper.Y - edge.Lower.Y;
        return (Math.Abs((long)edge.Upper.X - edge.Lower.X) + height - 1) / height;
    }

    private static Figure Mirrored(in Figure figure) => figure with
    {
        Shape = figure.Shape with { Left = Mirrored(figure.Shape.Right), Right = Mirrored(figure.Shape.Left) },
    };

    private static GridEdge Mirrored(GridEdge edge) => new(new(-edge.Lower.X, edge.Lower.Y), new(-edge.Upper.X, edge.Upper.Y));

    private void CutLine(in Figure line, int seam, List<Figure> left, List<Figure> right)
    {
        (GridPoint start, GridPoint end) = (line.Start, line.End);
        if (Math.Max(start.X, end.X) <= seam || Math.Min(start.X, end.X) >= seam)
        {
            (Math.Max(start.X, end.X) <= seam ? left : right).Add(line);
            return;
        }

        GridPoint cut = PointOn(start, end, seam);
        Figure first = Figure.FromLine(line.Layer, line.DoseFactor, start, cut);
        Figure second = Figure.FromLine(line.Layer, line.DoseFactor, cut, end);
        (start.X < seam ? left : right).Add(first);
        (start.X < seam ? right : left).Add(second);
    }

    /// <summary>A grid point exactly on the line if there is one near the seam, else the nearest one to the crossing.</summary>
    private GridPoint PointOn(GridPoint start, GridPoint end, int seam)
    {
        long dx = (long)end.X - start.X, dy = (long)end.Y - start.Y;
        long steps = (long)BigInteger.GreatestCommonDivisor(dx, dy);
        long step = (long)Math.Round((double)(seam - (long)start.X) * steps / dx);
        long x = start.X + (dx / steps * step);
        if (step > 0 && step < steps && Math.Abs(x - seam) <= stray)
        {
            return new((int)x, (int)(start.Y + (dy / steps * step)));
        }

        double y = start.Y + ((double)dy * (seam - (long)start.X) / dx);
        return new(seam, (int)Math.Round(y, MidpointRounding.AwayFromZero));
    }
}
