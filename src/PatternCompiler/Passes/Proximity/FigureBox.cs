using System.Runtime.CompilerServices;
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
        double low = Math.Min(XAt(shape.Left, shape.YBottom), XAt(shape.Left, shape.YTop));
        double high = Math.Max(XAt(shape.Right, shape.YBottom), XAt(shape.Right, shape.YTop));
        return figure.IsTransposed
            ? new FigureBox(shape.YBottom, low, shape.YTop, high)
            : new FigureBox(low, shape.YBottom, high, shape.YTop);

        // Most sides end where their figure does.
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        static double XAt(in GridEdge edge, int y) =>
            y == edge.Lower.Y ? edge.Lower.X : y == edge.Upper.Y ? edge.Upper.X : GaussianEnergy.XAt(edge, y);
    }

    /// <summary>Bounds of all figures together.</summary>
    public static FigureBox Around(IReadOnlyList<Figure> figures)
    {
        var all = new FigureBox(double.PositiveInfinity, double.PositiveInfinity, double.NegativeInfinity, double.NegativeInfinity);
        for (int i = 0; i < figures.Count; i++)
        {
            FigureBox box = Of(figures[i]);
            all = new FigureBox(
                Math.Min(all.XLow, box.XLow), Math.Min(all.YLow, box.YLow), Math.Max(all.XHigh, box.XHigh), Math.Max(all.YHigh, box.YHigh));
        }

        return all;
    }

    public double Width => XHigh - XLow;

    public double Height => YHigh - YLow;

    /// <summary>True if another box lies no further than a distance from this one.</summary>
    public bool IsWithin(in FigureBox other, double distance)
    {
        double beside = Math.Max(0, Math.Max(XLow - other.XHigh, other.XLow - XHigh));
        double above = Math.Max(0, Math.Max(YLow - other.YHigh, other.YLow - YHigh));
        return beside * beside + above * above <= distance * distance;
    }
}
