using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Tests.Jobs.WholeRun;

/// <summary>A figure in nanometres: its box, its centre of area, and its charge at the layer's factor 1.</summary>
internal readonly record struct FigureShape(double Left, double Bottom, double Right, double Top, double CentreX, double CentreY, double Charge)
{
    /// <summary>The box around all figures.</summary>
    public static FigureShape Around(FiguresDocument document)
    {
        FigureShape[] all = [.. Enumerable.Range(0, document.Figures.Count).Select(i => Of(document, i))];
        return all[0] with { Left = all.Min(f => f.Left), Bottom = all.Min(f => f.Bottom), Right = all.Max(f => f.Right), Top = all.Max(f => f.Top) };
    }

    /// <summary>What part of an area its edges sweep when they move so far; its box stands for it, which is no more than twice as large.</summary>
    public double PartWithin(double nanometres) => Right == Left || Top == Bottom ? 0 : 4 * nanometres * ((Right - Left) + (Top - Bottom)) / ((Right - Left) * (Top - Bottom));

    public static FigureShape Of(FiguresDocument document, int number)
    {
        Figure figure = document.Figures[number];
        double grid = document.Header.GridPicometres * 1e-3;
        double dose = figure.DoseFactor.Millionths * 1e-6;
        (double startX, double startY, double endX, double endY) = (figure.Start.X * grid, figure.Start.Y * grid, figure.End.X * grid, figure.End.Y * grid);
        if (figure.Kind == FigureKind.Trapezoid)
        {
            FigureShape shape = Trapezoid(figure.Shape, grid, dose);
            return figure.IsTransposed
                ? shape with { Left = shape.Bottom, Bottom = shape.Left, Right = shape.Top, Top = shape.Right, CentreX = shape.CentreY, CentreY = shape.CentreX }
                : shape;
        }

        double length = Math.Sqrt((endX - startX) * (endX - startX) + (endY - startY) * (endY - startY));
        return new FigureShape(
            Math.Min(startX, endX), Math.Min(startY, endY), Math.Max(startX, endX), Math.Max(startY, endY), (startX + endX) / 2, (startY + endY) / 2,
            dose * (figure.Kind == FigureKind.Line ? length * 1e-9 * RandomRun.LineDose : RandomRun.DotCharge));
    }

    private static FigureShape Trapezoid(Trapezoid shape, double grid, double dose)
    {
        (double bottom, double top) = (shape.YBottom * grid, shape.YTop * grid);
        (double lowerLeft, double lowerRight) = (At(shape.Left, shape.YBottom), At(shape.Right, shape.YBottom));
        (double upperLeft, double upperRight) = (At(shape.Left, shape.YTop), At(shape.Right, shape.YTop));
        (double lower, double upper) = (lowerRight - lowerLeft, upperRight - upperLeft);

        // Two triangles, one on each of the parallel sides.
        double area = (lower + upper) / 2 * (top - bottom);
        double x = (lower * (lowerLeft + lowerRight + upperLeft) + upper * (upperLeft + upperRight + lowerRight)) / 3 / (lower + upper);
        double y = (lower * (2 * bottom + top) + upper * (bottom + 2 * top)) / 3 / (lower + upper);
        return new FigureShape(
            Math.Min(lowerLeft, upperLeft), bottom, Math.Max(lowerRight, upperRight), top, x, y, dose * area * 1e-18 * RandomRun.AreaDose);

        double At(GridEdge edge, int height) =>
            (edge.Lower.X + (edge.Upper.X - edge.Lower.X) * ((double)height - edge.Lower.Y) / (edge.Upper.Y - edge.Lower.Y)) * grid;
    }
}
