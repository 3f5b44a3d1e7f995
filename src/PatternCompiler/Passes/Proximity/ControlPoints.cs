using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>Chooses the places at which a figure's energy is held to its target.</summary>
internal static class ControlPoints
{
    /// <summary>Gauss–Legendre points on [0, 1] with two nodes: an average over a figure is exact to third order.</summary>
    private const double LowNode = 0.2113248654051871;

    /// <summary>Probes for a neighbour this far outside an edge, in grid steps.</summary>
    private const double Outside = 1;

    private const int ProbesAlong = 6;

    /// <summary>
    /// For areas the middles of the sides that no other figure continues, weighted by their length, or a virtual edge
    /// where there is none; for lines and dots their middle.
    /// </summary>
    public static void Edges(
        IReadOnlyList<Figure> figures, FigureBox[] boxes, FigureIndex index, int figure, List<ControlPoint> points)
    {
        Figure current = figures[figure];
        if (current.Kind != FigureKind.Trapezoid)
        {
            AddMiddle(current, points);
            return;
        }

        Trapezoid shape = current.Shape;
        double middle = (shape.YBottom + (double)shape.YTop) / 2;
        var sides = new List<(double X, double Y, double NormalX, double NormalY, double Length)>(4);
        AddSlanted(shape.Left, -1);
        AddSlanted(shape.Right, 1);
        AddFlat(shape.YBottom, -1);
        AddFlat(shape.YTop, 1);
        sides.RemoveAll(s => s.Length <= 0 || IsCovered(
            figures, boxes, index, figure, Turn(current, s.X + Outside * s.NormalX, s.Y + Outside * s.NormalY)));
        if (sides.Count == 0)
        {
            double x = (GaussianEnergy.XAt(shape.Left, middle) + GaussianEnergy.XAt(shape.Right, middle)) / 2;
            (double px, double py) = Turn(current, x, middle);
            points.Add(new ControlPoint(px, py, 1, Math.Sqrt(Area(shape)), ControlPoint.Edge));
            return;
        }

        double total = sides.Sum(s => s.Length);
        foreach (var side in sides)
        {
            (double px, double py) = Turn(current, side.X, side.Y);
            (double nx, double ny) = Turn(current, side.NormalX, side.NormalY);
            points.Add(new ControlPoint(px, py, side.Length / total, side.Length) { NormalX = (float)nx, NormalY = (float)ny });
        }

        void AddSlanted(GridEdge edge, int outward)
        {
            double dx = GaussianEnergy.XAt(edge, shape.YTop) - GaussianEnergy.XAt(edge, shape.YBottom);
            double dy = (double)shape.YTop - shape.YBottom;
            double length = Math.Sqrt(dx * dx + dy * dy);
            sides.Add((GaussianEnergy.XAt(edge, middle), middle, outward * dy / length, -outward * dx / length, length));
        }

        void AddFlat(int y, int outward)
        {
            double left = GaussianEnergy.XAt(shape.Left, y);
            double right = GaussianEnergy.XAt(shape.Right, y);
            sides.Add(((left + right) / 2, y, 0, outward, right - left));
        }
    }

    /// <summary>Places whose weighted mean is the average energy over the figure.</summary>
    /// <param name="figure">The figure.</param>
    /// <param name="points">Takes the places.</param>
    /// <param name="ownForward">See <see cref="ControlPoint"/>.</param>
    public static void Interior(in Figure figure, List<ControlPoint> points, float ownForward = 0)
    {
        if (figure.Kind != FigureKind.Trapezoid)
        {
            AddMiddle(figure, points);
            return;
        }

        Trapezoid shape = figure.Shape;
        double[] nodes = [LowNode, 1 - LowNode];
        double[] widths = [.. nodes.Select(v => WidthAt(shape, HeightAt(shape, v)))];
        for (int row = 0; row < nodes.Length; row++)
        {
            double y = HeightAt(shape, nodes[row]);
            foreach (double u in nodes)
            {
                (double px, double py) = Turn(figure, GaussianEnergy.XAt(shape.Left, y) + u * widths[row], y);
                double weight = widths[row] / widths.Sum() / nodes.Length;
                points.Add(new ControlPoint(px, py, weight, weight * Math.Sqrt(Area(shape)), ownForward));
            }
        }
    }

    private static void AddMiddle(in Figure figure, List<ControlPoint> points)
    {
        GridPoint end = figure.Kind == FigureKind.Line ? figure.End : figure.Start;
        double dx = (double)end.X - figure.Start.X;
        double dy = (double)end.Y - figure.Start.Y;
        points.Add(new ControlPoint(
            figure.Start.X + dx / 2, figure.Start.Y + dy / 2, 1, Math.Max(1, Math.Sqrt(dx * dx + dy * dy))));
    }

    /// <summary>
    /// True if the outline turns outward within a reach along the side that a place lies on: the inner corner rounds
    /// whatever the dose is.
    /// </summary>
    public static bool IsNearInnerCorner(
        IReadOnlyList<Figure> figures, FigureBox[] boxes, FigureIndex index, int figure, ControlPoint point, double reach)
    {
        // Far enough outside that a curved outline does not count as a corner, near enough that a neighbour across a gap does
        // not.
        double away = reach / 6;
        double x = point.X + away * point.NormalX;
        double y = point.Y + away * point.NormalY;
        for (int i = -ProbesAlong; i <= ProbesAlong; i++)
        {
            double along = i * reach / ProbesAlong;
            if (IsCovered(figures, boxes, index, figure, (x - along * point.NormalY, y + along * point.NormalX)))
            {
                return true;
            }
        }

        return false;
    }

    private static bool IsCovered(
        IReadOnlyList<Figure> figures, FigureBox[] boxes, FigureIndex index, int self, (double X, double Y) probe)
    {
        foreach (int other in index.Near(probe.X, probe.Y))
        {
            if (other != self && figures[other].Kind == FigureKind.Trapezoid && boxes[other].IsWithin(probe.X, probe.Y, 0)
                && Covers(figures[other], probe))
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
