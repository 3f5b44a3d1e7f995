using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Fracture;

/// <summary>
/// Divides trapezoids that are too high or too wide into even parts. Cuts across are horizontal; cuts lengthwise run from
/// grid point to grid point between the two sides, so that the parts still cover exactly the whole.
/// </summary>
internal static class FigureDivider
{
    /// <summary>About how many parts a trapezoid is divided into.</summary>
    public static double PartsOf(in Trapezoid piece, double largest)
    {
        double width = (TrapezoidMeasure.Width(piece, piece.YBottom) + TrapezoidMeasure.Width(piece, piece.YTop)) / 2;
        return Math.Floor(Math.Max(1, ((double)piece.YTop - piece.YBottom) / largest) * Math.Max(1, width / largest));
    }

    /// <summary>
    /// Adds the parts of a trapezoid, none of which is larger than <paramref name="largest"/> grid steps. Only a row one grid
    /// step high, one of whose parallel sides has too few grid points for the cuts, stays as wide as it is.
    /// </summary>
    public static void Divide(in Trapezoid piece, double largest, List<Trapezoid> parts)
    {
        long height = (long)piece.YTop - piece.YBottom;
        long slices = (long)Math.Max(1, Math.Ceiling(height / largest));
        int bottom = piece.YBottom;
        for (long i = 1; i <= slices; i++)
        {
            int top = (int)(piece.YBottom + (height * i / slices));
            if (top > bottom)
            {
                DivideLengthwise(piece with { YBottom = bottom, YTop = top }, largest, parts);
                bottom = top;
            }
        }
    }

    private static void DivideLengthwise(in Trapezoid piece, double largest, List<Trapezoid> parts)
    {
        double below = TrapezoidMeasure.Width(piece, piece.YBottom), above = TrapezoidMeasure.Width(piece, piece.YTop);
        int count = (int)Math.Ceiling(Math.Max(below, above) / largest);
        if (count <= 1)
        {
            parts.Add(piece);
            return;
        }

        // A cut needs a grid point on each parallel side. Towards a tip there may be none left: then cut across first.
        bool fitsBelow = below >= 2 * count || IsCorner(piece, piece.YBottom, below);
        bool fitsAbove = above >= 2 * count || IsCorner(piece, piece.YTop, above);
        if (!fitsBelow || !fitsAbove)
        {
            if (piece.YTop - piece.YBottom < 2)
            {
                parts.Add(piece);
                return;
            }

            int middle = piece.YBottom + ((piece.YTop - piece.YBottom) / 2);
            DivideLengthwise(piece with { YTop = middle }, largest, parts);
            DivideLengthwise(piece with { YBottom = middle }, largest, parts);
            return;
        }

        GridEdge left = piece.Left;
        for (int i = 1; i <= count; i++)
        {
            GridEdge right = i == count
                ? piece.Right
                : new GridEdge(new(CutAt(piece, piece.YBottom, below, i, count), piece.YBottom), new(CutAt(piece, piece.YTop, above, i, count), piece.YTop));
            parts.Add(piece with { Left = left, Right = right });
            left = right;
        }
    }

    /// <summary>Both sides meet there in one grid point.</summary>
    private static bool IsCorner(in Trapezoid piece, int y, double width) =>
        width == 0 && TrapezoidMeasure.XAt(piece.Left, y) == Math.Floor(TrapezoidMeasure.XAt(piece.Left, y));

    private static int CutAt(in Trapezoid piece, int y, double width, int index, int count) =>
        (int)Math.Floor(TrapezoidMeasure.XAt(piece.Left, y) + (width * index / count) + (width == 0 ? 0 : 0.5));
}
