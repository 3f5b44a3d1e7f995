using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Places;

/// <summary>Which copies of an array lie at a point, or near it, without a look at each: the boxes of a row stand at even steps.</summary>
internal static class ArrayCopies
{
    /// <summary>The copies whose box is no farther from a point than a reach that may shrink meanwhile, those of a row from the nearest on.</summary>
    /// <param name="first">The box of the first copy.</param>
    /// <param name="repetition">The array.</param>
    /// <param name="point">The point.</param>
    /// <param name="reach">The reach.</param>
    public static IEnumerable<(int Column, int Row)> Near(LayoutExtent first, Repetition repetition, PlanePoint point, Func<double> reach)
    {
        // The shorter side is counted out.
        bool isAcross = repetition.Columns >= repetition.Rows;
        (int lines, int length) = isAcross ? (repetition.Rows, repetition.Columns) : (repetition.Columns, repetition.Rows);
        (GridPoint across, GridPoint along) = isAcross ? (repetition.RowStep, repetition.ColumnStep) : (repetition.ColumnStep, repetition.RowStep);
        for (int line = 0; line < lines; line++)
        {
            double x = point.X - ((double)line * across.X);
            double y = point.Y - ((double)line * across.Y);
            int nearest = Nearest(first, along, length, x, y);
            for (int i = nearest; i >= 0 && Distance(first, along, i, x, y) <= reach(); i--)
            {
                yield return isAcross ? (i, line) : (line, i);
            }

            for (int i = nearest + 1; i < length && Distance(first, along, i, x, y) <= reach(); i++)
            {
                yield return isAcross ? (i, line) : (line, i);
            }
        }
    }

    // The distance falls to the nearest copy and rises behind it; where several are as near, it is one of them.
    private static int Nearest(in LayoutExtent first, GridPoint step, int length, double x, double y)
    {
        int low = 0;
        int high = length - 1;
        while (low < high)
        {
            int middle = low + ((high - low) / 2);
            double here = Distance(first, step, middle, x, y);
            double next = Distance(first, step, middle + 1, x, y);
            if (here == 0 || next == 0)
            {
                return here == 0 ? middle : middle + 1;
            }

            if (next < here)
            {
                low = middle + 1;
            }
            else
            {
                high = middle;
            }
        }

        return low;
    }

    private static double Distance(in LayoutExtent first, GridPoint step, int copy, double x, double y) =>
        ShapeDistance.OfBox(first, new(x - ((double)copy * step.X), y - ((double)copy * step.Y)));
}
