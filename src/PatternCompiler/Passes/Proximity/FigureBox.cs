using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>Bounds of a figure in true (not transposed) coordinates, in grid steps.</summary>
internal readonly record struct FigureBox(double XLow, double YLow, double XHigh, double YHigh)
{
    public static FigureBox Of(in Figure figure)
    {
        if (figure.Kind != FigureKind.Trapezoid)
        {
            GridPoint end = figure.Kind == FigureKind.Line ? figure.End : figure.Start;
            return new FigureBox(
                Math.Min(figure.Start.X, end.X), Math.Min(figure.Start.Y, end.Y),
                Math.Max(figure.Start.X, end.X), Math.Max(figure.Start.Y, end.Y));
        }

        Trapezoid shape = figure.Shape;
        double low = Math.Min(GaussianEnergy.XAt(shape.Left, shape.YBottom), GaussianEnergy.XAt(shape.Left, shape.YTop));
        double high = Math.Max(GaussianEnergy.XAt(shape.Right, shape.YBottom), GaussianEnergy.XAt(shape.Right, shape.YTop));
        return figure.IsTransposed
            ? new FigureBox(shape.YBottom, low, shape.YTop, high)
            : new FigureBox(low, shape.YBottom, high, shape.YTop);
    }

    /// <summary>Bounds of all of some boxes.</summary>
    public static FigureBox Around(ReadOnlySpan<FigureBox> boxes)
    {
        var all = new FigureBox(double.PositiveInfinity, double.PositiveInfinity, double.NegativeInfinity, double.NegativeInfinity);
        foreach (FigureBox box in boxes)
        {
            all = new FigureBox(
                Math.Min(all.XLow, box.XLow), Math.Min(all.YLow, box.YLow), Math.Max(all.XHigh, box.XHigh), Math.Max(all.YHigh, box.YHigh));
        }

        return all;
    }

    public double Width => XHigh - XLow;

    public double Height => YHigh - YLow;

    /// <summary>True if a point lies no further than a distance from the box in either axis.</summary>
    public bool IsWithin(double x, double y, double distance) =>
        x >= XLow - distance && x <= XHigh + distance && y >= YLow - distance && y <= YHigh + distance;
}
