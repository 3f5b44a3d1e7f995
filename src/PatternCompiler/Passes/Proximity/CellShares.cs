using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>How much of a figure's charge falls into each cell of a map, as area of dose 1.</summary>
internal static class CellShares
{
    /// <summary>Calls <paramref name="add"/>(row, column, area) for every cell that a figure touches.</summary>
    public static void Of(
        in Figure figure, double xLow, double yLow, double cell, (double Line, double Dot) chargeOf, Action<int, int, double> add)
    {
        switch (figure.Kind)
        {
            case FigureKind.Dot:
                add((int)((figure.Start.Y - yLow) / cell), (int)((figure.Start.X - xLow) / cell), chargeOf.Dot);
                break;
            case FigureKind.Line:
                OfLine(figure, xLow, yLow, cell, chargeOf.Line, add);
                break;
            case FigureKind.Trapezoid when figure.IsTransposed:
                OfTrapezoid(figure.Shape, yLow, xLow, cell, (row, column, area) => add(column, row, area));
                break;
            default:
                OfTrapezoid(figure.Shape, xLow, yLow, cell, add);
                break;
        }
    }

    // Four pieces to a cell: finer than the map can tell.
    private static void OfLine(in Figure figure, double xLow, double yLow, double cell, double chargePerStep, Action<int, int, double> add)
    {
        double dx = (double)figure.End.X - figure.Start.X;
        double dy = (double)figure.End.Y - figure.Start.Y;
        double length = Math.Sqrt(dx * dx + dy * dy);
        int pieces = (int)Math.Ceiling(4 * length / cell);
        for (int i = 0; i < pieces; i++)
        {
            double t = (i + 0.5) / pieces;
            add(
                (int)((figure.Start.Y + t * dy - yLow) / cell),
                (int)((figure.Start.X + t * dx - xLow) / cell),
                chargePerStep * length / pieces);
        }
    }

    // Row by row of cells: within a row the part of a cell's area left of an edge is integrated over the height with
    // the two-point Gauss rule on each half, and the row's total is then made exact.
    private static void OfTrapezoid(in Trapezoid shape, double xLow, double yLow, double cell, Action<int, int, double> add)
    {
        int firstRow = (int)((shape.YBottom - yLow) / cell);
        int lastRow = (int)((shape.YTop - yLow) / cell);
        Span<double> heights = stackalloc double[4];
        for (int row = firstRow; row <= lastRow; row++)
        {
            double bottom = Math.Max(shape.YBottom, yLow + row * cell);
            double top = Math.Min(shape.YTop, yLow + (row + 1) * cell);
            double height = top - bottom;
            if (height <= 0)
            {
                continue;
            }

            double exact = height * (Middle(shape.Right, bottom, top) - Middle(shape.Left, bottom, top));
            double low = Math.Min(GaussianEnergy.XAt(shape.Left, bottom), GaussianEnergy.XAt(shape.Left, top));
            double high = Math.Max(GaussianEnergy.XAt(shape.Right, bottom), GaussianEnergy.XAt(shape.Right, top));
            int firstColumn = (int)((low - xLow) / cell);
            int lastColumn = (int)((high - xLow) / cell);
            if (firstColumn == lastColumn)
            {
                add(row, firstColumn, exact);
                continue;
            }

            const double Offset = 0.2113248654051871 / 2;
            heights[0] = bottom + Offset * height;
            heights[1] = bottom + (0.5 - Offset) * height;
            heights[2] = bottom + (0.5 + Offset) * height;
            heights[3] = top - Offset * height;
            double covered = 0;
            for (int column = firstColumn; column <= lastColumn; column++)
            {
                covered += Covered(shape, heights, xLow + column * cell, cell);
            }

            double correction = covered > 0 ? exact / covered : 0;
            for (int column = firstColumn; column <= lastColumn; column++)
            {
                add(row, column, correction * Covered(shape, heights, xLow + column * cell, cell));
            }
        }
    }

    private static double Middle(in GridEdge edge, double bottom, double top) => GaussianEnergy.XAt(edge, (bottom + top) / 2);

    private static double Covered(in Trapezoid shape, ReadOnlySpan<double> heights, double left, double width)
    {
        double sum = 0;
        foreach (double height in heights)
        {
            double from = Math.Max(GaussianEnergy.XAt(shape.Left, height), left);
            double to = Math.Min(GaussianEnergy.XAt(shape.Right, height), left + width);
            sum += Math.Max(0, to - from);
        }

        return sum;
    }
}
