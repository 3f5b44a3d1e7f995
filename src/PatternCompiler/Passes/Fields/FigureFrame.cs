using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fields;

/// <summary>Extent, transposition and move of figures.</summary>
internal static class FigureFrame
{
    /// <summary>The smallest box of whole grid steps around a figure.</summary>
    public static GridBox BoxOf(in Figure figure)
    {
        if (figure.Kind != FigureKind.Trapezoid)
        {
            return new(
                Math.Min(figure.Start.X, figure.End.X),
                Math.Min(figure.Start.Y, figure.End.Y),
                Math.Max(figure.Start.X, figure.End.X),
                Math.Max(figure.Start.Y, figure.End.Y));
        }

        Trapezoid shape = figure.Shape;
        int left = Math.Min(EdgeLine.Floor(shape.Left, shape.YBottom), EdgeLine.Floor(shape.Left, shape.YTop));
        int right = Math.Max(EdgeLine.Ceiling(shape.Right, shape.YBottom), EdgeLine.Ceiling(shape.Right, shape.YTop));
        return figure.IsTransposed ? new(shape.YBottom, left, shape.YTop, right) : new(left, shape.YBottom, right, shape.YTop);
    }

    /// <summary>The smallest box around figures, empty if there are none.</summary>
    public static GridBox BoxAround(IEnumerable<Figure> figures)
    {
        GridBox extent = GridBox.Empty;
        foreach (Figure figure in figures)
        {
            GridBox box = BoxOf(figure);
            extent = new(
                Math.Min(extent.XLeft, box.XLeft),
                Math.Min(extent.YBottom, box.YBottom),
                Math.Max(extent.XRight, box.XRight),
                Math.Max(extent.YTop, box.YTop));
        }

        return extent;
    }

    /// <summary>The figure with x and y exchanged.</summary>
    public static Figure Transposed(in Figure figure) => figure.Kind == FigureKind.Trapezoid
        ? figure with { IsTransposed = !figure.IsTransposed }
        : figure with { Shape = figure.Shape with { Left = new(Swapped(figure.Start), Swapped(figure.End)) } };

    /// <summary>The figure as seen from a place.</summary>
    /// <exception cref="CompileException">A corner leaves the range of coordinates.</exception>
    public static Figure From(in Figure figure, GridPoint origin)
    {
        if (figure.Kind != FigureKind.Trapezoid)
        {
            return figure with { Shape = figure.Shape with { Left = Moved(figure.Shape.Left, origin) } };
        }

        GridPoint by = figure.IsTransposed ? Swapped(origin) : origin;
        Trapezoid shape = figure.Shape;
        return figure with
        {
            Shape = new Trapezoid(shape.YBottom - by.Y, shape.YTop - by.Y, Moved(shape.Left, by), Moved(shape.Right, by)),
        };
    }

    private static GridEdge Moved(GridEdge edge, GridPoint origin) => new(Moved(edge.Lower, origin), Moved(edge.Upper, origin));

    private static GridPoint Moved(GridPoint point, GridPoint origin)
    {
        long x = (long)point.X - origin.X;
        long y = (long)point.Y - origin.Y;
        return Math.Max(Math.Abs(x), Math.Abs(y)) <= GridPoint.Limit
            ? new GridPoint((int)x, (int)y)
            : throw new CompileException(
                FieldCodes.CannotPlace,
                "an edge of the pattern is so long that its ends cannot be told from the centre of a write field",
                fix: "read the drawing on a coarser grid");
    }

    private static GridPoint Swapped(GridPoint point) => new(point.Y, point.X);
}
