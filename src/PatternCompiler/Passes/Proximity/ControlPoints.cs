using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>Chooses the places at which a figure's energy is held to its target.</summary>
internal static class ControlPoints
{
    /// <summary>Gauss–Legendre points on [0, 1] with two nodes: an average over a figure is exact to third order.</summary>
    private const double LowNode = 0.2113248654051871;

    // Probes for a neighbour this far outside an edge, in grid steps.
    private const double Outside = 1;

    private const int ProbesAlong = 6;

    /// <summary>A figure has at most so many.</summary>
    public const int Most = 4;

    /// <summary>Which sides of a figure no other figure continues, a bit each: left, right, bottom, top.</summary>
    public static byte OuterSides(IReadOnlyList<Figure> figures, FigureIndex index, int figure)
    {
        Figure current = figures[figure];
        if (current.Kind != FigureKind.Trapezoid)
        {
            return 0;
        }

        Span<Side> sides = stackalloc Side[Most];
        Sides(current.Shape, sides);
        int outer = 0;
        for (int i = 0; i < Most; i++)
        {
            Side side = sides[i];
            (double X, double Y) probe = Turn(current, side.X + Outside * side.NormalX, side.Y + Outside * side.NormalY);
            outer |= side.Length > 0 && !IsCovered(figures, index, figure, probe) ? 1 << i : 0;
        }

        return (byte)outer;
    }

    /// <summary>
    /// For areas the middles of the outer sides, weighted by their length, or a virtual edge where there is none; for lines and dots
    /// their middle.
    /// </summary>
    /// <param name="figure">The figure.</param>
    /// <param name="outerSides">See <see cref="OuterSides"/>.</param>
    /// <param name="points">Takes the places.</param>
    /// <returns>How many there are.</returns>
    public static int Edges(in Figure figure, int outerSides, Span<ControlPoint> points)
    {
        if (figure.Kind != FigureKind.Trapezoid)
        {
            return Middle(figure, points);
        }

        Trapezoid shape = figure.Shape;
        if (outerSides == 0)
        {
            double middle = (shape.YBottom + (double)shape.YTop) / 2;
            double x = (GaussianEnergy.XAt(shape.Left, middle) + GaussianEnergy.XAt(shape.Right, middle)) / 2;
            (double px, double py) = Turn(figure, x, middle);
            points[0] = new ControlPoint(px, py, 1, Math.Sqrt(Area(shape)), ControlPoint.Edge);
            return 1;
        }

        Span<Side> sides = stackalloc Side[Most];
        Sides(shape, sides);
        double total = 0;
        for (int i = 0; i < Most; i++)
        {
            total += (outerSides >> i & 1) != 0 ? sides[i].Length : 0;
        }

        int count = 0;
        for (int i = 0; i < Most; i++)
        {
            if ((outerSides >> i & 1) != 0)
            {
                Side side = sides[i];
                (double px, double py) = Turn(figure, side.X, side.Y);
                (double nx, double ny) = Turn(figure, side.NormalX, side.NormalY);
                points[count++] = new ControlPoint(px, py, side.Length / total, side.Length) { NormalX = (float)nx, NormalY = (float)ny };
            }
        }

        return count;
    }

    /// <summary>Places whose weighted mean is the average energy over the figure.</summary>
    /// <param name="figure">The figure.</param>
    /// <param name="points">Takes the places.</param>
    /// <param name="ownForward">See <see cref="ControlPoint"/>.</param>
    /// <returns>How many there are.</returns>
    public static int Interior(in Figure figure, Span<ControlPoint> points, float ownForward = 0)
    {
        if (figure.Kind != FigureKind.Trapezoid)
        {
            return Middle(figure, points);
        }

        Trapezoid shape = figure.Shape;
        ReadOnlySpan<double> nodes = [LowNode, 1 - LowNode];
        ReadOnlySpan<double> widths = [WidthAt(shape, HeightAt(shape, nodes[0])), WidthAt(shape, HeightAt(shape, nodes[1]))];
        int count = 0;
        for (int row = 0; row < nodes.Length; row++)
        {
            double y = HeightAt(shape, nodes[row]);
            foreach (double u in nodes)
            {
                (double px, double py) = Turn(figure, GaussianEnergy.XAt(shape.Left, y) + u * widths[row], y);
                double weight = widths[row] / (widths[0] + widths[1]) / nodes.Length;
                points[count++] = new ControlPoint(px, py, weight, weight * Math.Sqrt(Area(shape)), ownForward);
            }
        }

        return count;
    }

    private static int Middle(in Figure figure, Span<ControlPoint> points)
    {
        GridPoint end = figure.Kind == FigureKind.Line ? figure.End : figure.Start;
        double dx = (double)end.X - figure.Start.X;
        double dy = (double)end.Y - figure.Start.Y;
        points[0] = new ControlPoint(
            figure.Start.X + dx / 2, figure.Start.Y + dy / 2, 1, Math.Max(1, Math.Sqrt(dx * dx + dy * dy)));
        return 1;
    }

    // Left, right, bottom, top, in the figure's own coordinates.
    private static void Sides(in Trapezoid shape, Span<Side> sides)
    {
        double height = (double)shape.YTop - shape.YBottom;
        double middle = shape.YBottom + height / 2;
        (double leftBelow, double leftAbove) = (GaussianEnergy.XAt(shape.Left, shape.YBottom), GaussianEnergy.XAt(shape.Left, shape.YTop));
        (double rightBelow, double rightAbove) = (GaussianEnergy.XAt(shape.Right, shape.YBottom), GaussianEnergy.XAt(shape.Right, shape.YTop));
        sides[0] = Slanted(leftBelow, leftAbove, -1);
        sides[1] = Slanted(rightBelow, rightAbove, 1);
        sides[2] = new Side((leftBelow + rightBelow) / 2, shape.YBottom, 0, -1, rightBelow - leftBelow);
        sides[3] = new Side((leftAbove + rightAbove) / 2, shape.YTop, 0, 1, rightAbove - leftAbove);

        Side Slanted(double below, double above, int outward)
        {
            double length = Math.Sqrt((above - below) * (above - below) + height * height);
            double perLength = outward / length;
            return new Side((below + above) / 2, middle, height * perLength, (below - above) * perLength, length);
        }
    }

    /// <summary>
    /// True if the outline turns outward within a reach along the side that a place lies on: the inner corner rounds
    /// whatever the dose is.
    /// </summary>
    public static bool IsNearInnerCorner(
        IReadOnlyList<Figure> figures, FigureIndex index, int figure, ControlPoint point, double reach)
    {
        // Far enough outside that a curved outline does not count as a corner, near enough that a neighbour across a gap does
        // not.
        double away = reach / 6;
        double x = point.X + away * point.NormalX;
        double y = point.Y + away * point.NormalY;
        for (int i = -ProbesAlong; i <= ProbesAlong; i++)
        {
            double along = i * reach / ProbesAlong;
            if (IsCovered(figures, index, figure, (x - along * point.NormalY, y + along * point.NormalX)))
            {
                return true;
            }
        }

        return false;
    }

    private static bool IsCovered(
        IReadOnlyList<Figure> figures, FigureIndex index, int self, (double X, double Y) probe)
    {
        foreach (int other in index.Within(probe.X, probe.Y, 0))
        {
            if (other != self && figures[other].Kind == FigureKind.Trapezoid && Covers(figures[other], probe))
            {
                return true;
            }
        }

        return false;
    }

    private static bool Covers(in Figure figure, (double X, double Y) probe)
    {
        (double x, double y) = Turn(figure, probe.X, probe.Y);
        Trapezoid shape = figure.Shape;
        return y >= shape.YBottom && y <= shape.YTop
            && x >= GaussianEnergy.XAt(shape.Left, y) && x <= GaussianEnergy.XAt(shape.Right, y);
    }

    /// <summary>Between a figure's own coordinates and the sample's: the exchange of x and y is its own inverse.</summary>
    private static (double X, double Y) Turn(in Figure figure, double x, double y) => figure.IsTransposed ? (y, x) : (x, y);

    private static double Area(in Trapezoid shape) =>
        ((double)shape.YTop - shape.YBottom) * WidthAt(shape, (shape.YBottom + (double)shape.YTop) / 2);

    private static double HeightAt(in Trapezoid shape, double part) => shape.YBottom + part * ((double)shape.YTop - shape.YBottom);

    private static double WidthAt(in Trapezoid shape, double y) =>
        GaussianEnergy.XAt(shape.Right, y) - GaussianEnergy.XAt(shape.Left, y);

    /// <summary>Middle of a side, the outward direction there, and the side's length.</summary>
    private readonly record struct Side(double X, double Y, double NormalX, double NormalY, double Length);
}

/// <summary>A place where a figure's energy is held to its target.</summary>
/// <param name="X">Grid steps.</param>
/// <param name="Y">Grid steps.</param>
/// <param name="Weight">Part of the figure's mean that it makes up; the weights of a figure sum to 1.</param>
/// <param name="Length">Length of edge, or of line, that the place speaks for, in grid steps.</param>
/// <param name="OwnForward">
/// Part of its forward energy that the figure itself is taken to give, its neighbours none: a half for a figure without an outer
/// edge, as if it had one at its middle; 1 well inside an area. 0 where what each figure gives is computed.
/// </param>
internal readonly record struct ControlPoint(double X, double Y, double Weight, double Length, float OwnForward = 0)
{
    /// <summary>What a figure gives at its edge.</summary>
    public const float Edge = 0.5f;

    /// <summary>Outward direction of the side that the place lies on, of length 1; 0 where there is no side.</summary>
    public float NormalX { get; init; }

    /// <summary>See <see cref="NormalX"/>.</summary>
    public float NormalY { get; init; }
}
