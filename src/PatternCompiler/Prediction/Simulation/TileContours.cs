using System.Numerics;
using System.Runtime.InteropServices;
using PatternCompiler.Pictures;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// Lines of equal energy through one tile (marching squares on the pixel centres). The side above the level lies on the
/// left. Ends on the tile's border are named by the pixel edge that they cross, so that neighbouring tiles fit together
/// without comparing coordinates.
/// </summary>
internal sealed class TileContours
{
    private const int Offset = 1 << 29;
    private readonly EnergyTile tile;
    private readonly double pixel;
    private readonly float level;
    private readonly double bias;
    private readonly SampleWindow? window;
    private readonly Dictionary<long, long> next = [];
    private readonly Dictionary<long, ScenePoint> places = [];

    private TileContours(EnergyTile tile, double pixel, double level, double bias, SampleWindow? window)
    {
        this.tile = tile;
        this.pixel = pixel;
        this.level = (float)level;
        this.bias = bias;
        this.window = window;
    }

    /// <summary>Traces a tile of at least two pixels of margin. Chains are in a fixed order.</summary>
    public static List<ContourChain> Trace(EnergyTile tile, double pixel, double level, double bias, SampleWindow? window)
    {
        var contours = new TileContours(tile, pixel, level, bias, window);
        contours.CollectSegments();
        return contours.Chains();
    }

    private void CollectSegments()
    {
        int start = tile.Margin;
        for (int row = start; row < start + ChargeMap.TileSide; row++)
        {
            ReadOnlySpan<float> lower = tile.Values.AsSpan(row * tile.Side, tile.Side);
            ReadOnlySpan<float> upper = tile.Values.AsSpan((row + 1) * tile.Side, tile.Side);
            if (window is null && IsUniform(lower.Slice(start, ChargeMap.TileSide + 1), upper.Slice(start, ChargeMap.TileSide + 1)))
            {
                continue;
            }

            for (int column = start; column < start + ChargeMap.TileSide; column++)
            {
                int inside = (lower[column] >= level ? 1 : 0) | (lower[column + 1] >= level ? 2 : 0)
                    | (upper[column + 1] >= level ? 4 : 0) | (upper[column] >= level ? 8 : 0);
                if (window is not null && inside != 0)
                {
                    inside &= MaskOf(column, row);
                }

                if (inside is not (0 or 15))
                {
                    AddCell(column, row, inside);
                }
            }
        }
    }

    /// <summary>True if two rows lie above the level throughout, or below it: most do.</summary>
    private bool IsUniform(ReadOnlySpan<float> lower, ReadOnlySpan<float> upper)
    {
        bool isAbove = lower[^1] >= level;
        if (upper[^1] >= level != isAbove)
        {
            return false;
        }

        var wideLevel = new Vector<float>(level);
        ReadOnlySpan<Vector<float>> wideLower = MemoryMarshal.Cast<float, Vector<float>>(lower);
        ReadOnlySpan<Vector<float>> wideUpper = MemoryMarshal.Cast<float, Vector<float>>(upper);
        for (int i = 0; i < wideLower.Length; i++)
        {
            if (isAbove
                ? Vector.LessThanAny(wideLower[i], wideLevel) || Vector.LessThanAny(wideUpper[i], wideLevel)
                : Vector.GreaterThanOrEqualAny(wideLower[i], wideLevel) || Vector.GreaterThanOrEqualAny(wideUpper[i], wideLevel))
            {
                return false;
            }
        }

        // The side of a tile is a whole number of vectors of any width; the last value, one more, has been looked at.
        return true;
    }

    // What lies outside the window counts as unexposed, so that outlines close along its border.
    private int MaskOf(int column, int row) =>
        (IsShown(column, row) ? 1 : 0) | (IsShown(column + 1, row) ? 2 : 0)
        | (IsShown(column + 1, row + 1) ? 4 : 0) | (IsShown(column, row + 1) ? 8 : 0);

    private bool IsShown(int column, int row) => window is not { } part
        || part.Contains((tile.FirstColumn + column + 0.5) * pixel, (tile.FirstRow + row + 0.5) * pixel);

    private void AddCell(int column, int row, int inside)
    {
        long bottom = Cross(column, row, false);
        long left = Cross(column, row, true);
        long right = Cross(column + 1, row, true);
        long top = Cross(column, row + 1, false);
        bool isMiddleInside = inside is 5 or 10 && Middle(column, row) >= level;
        switch (inside)
        {
            case 1: Link(bottom, left); break;
            case 2: Link(right, bottom); break;
            case 3: Link(right, left); break;
            case 4: Link(top, right); break;
            case 6: Link(top, bottom); break;
            case 7: Link(top, left); break;
            case 8: Link(left, top); break;
            case 9: Link(bottom, top); break;
            case 11: Link(right, top); break;
            case 12: Link(left, right); break;
            case 13: Link(bottom, right); break;
            case 14: Link(left, bottom); break;
            case 5 when isMiddleInside: Link(bottom, right); Link(top, left); break;
            case 5: Link(bottom, left); Link(top, right); break;
            case 10 when isMiddleInside: Link(left, bottom); Link(right, top); break;
            default: Link(right, bottom); Link(left, top); break;
        }

        void Link(long from, long to)
        {
            next[from] = to;
            Place(from);
            Place(to);
        }
    }

    private float Middle(int column, int row) =>
        (Value(column, row) + Value(column + 1, row) + Value(column, row + 1) + Value(column + 1, row + 1)) / 4;

    private float Value(int column, int row) => tile.Values[row * tile.Side + column];

    /// <summary>Name of the edge from a pixel centre to the next one, upward or to the right.</summary>
    private long Cross(int column, int row, bool isUpward) =>
        ((((long)(tile.FirstRow + row + Offset)) << 31) | (long)(tile.FirstColumn + column + Offset)) * 2 + (isUpward ? 1 : 0);

    private void Place(long crossing)
    {
        if (places.ContainsKey(crossing))
        {
            return;
        }

        bool isUpward = (crossing & 1) != 0;
        int column = (int)((crossing >> 1) & ((1L << 31) - 1)) - Offset - tile.FirstColumn;
        int row = (int)(crossing >> 32) - Offset - tile.FirstRow;
        (int toColumn, int toRow) = isUpward ? (column, row + 1) : (column + 1, row);
        double part = IsShown(column, row) && IsShown(toColumn, toRow)
            ? tile.CrossingAfter(row * tile.Side + column, isUpward ? tile.Side : 1, level)
            : IsShown(column, row) ? 1 : 0;
        double x = (tile.FirstColumn + column + 0.5 + (isUpward ? 0 : part)) * pixel;
        double y = (tile.FirstRow + row + 0.5 + (isUpward ? part : 0)) * pixel;
        if (window is { } shown)
        {
            (x, y) = (Math.Clamp(x, shown.Left, shown.Right), Math.Clamp(y, shown.Bottom, shown.Top));
        }

        if (bias != 0 && part is > 0 and < 1)
        {
            (x, y) = Moved(x, y);
        }

        places.Add(crossing, new ScenePoint(x, y));
    }

    /// <summary>Moved down the slope of the energy by the bias.</summary>
    private (double X, double Y) Moved(double x, double y)
    {
        double slopeX = tile.At(x + pixel / 2, y, pixel) - tile.At(x - pixel / 2, y, pixel);
        double slopeY = tile.At(x, y + pixel / 2, pixel) - tile.At(x, y - pixel / 2, pixel);
        double slope = Math.Sqrt(slopeX * slopeX + slopeY * slopeY);
        return slope > 0 ? (x - bias * slopeX / slope, y - bias * slopeY / slope) : (x, y);
    }

    private List<ContourChain> Chains()
    {
        var chains = new List<ContourChain>();
        var ends = new HashSet<long>(next.Values);
        foreach (long start in next.Keys.Where(key => !ends.Contains(key)).Order().ToArray())
        {
            chains.Add(Walk(start));
        }

        foreach (long start in next.Keys.Order().ToArray())
        {
            if (next.ContainsKey(start))
            {
                chains.Add(Walk(start));
            }
        }

        return chains;
    }

    private ContourChain Walk(long start)
    {
        var points = new List<ScenePoint> { places[start] };
        long at = start;
        while (next.Remove(at, out long to))
        {
            at = to;
            points.Add(places[at]);
        }

        return new ContourChain(start, at, Simplify(points, pixel / 20));
    }

    /// <summary>Drops points within a distance of the line through those kept (U. Ramer, 1972; D. Douglas and T. Peucker, 1973).</summary>
    private static List<ScenePoint> Simplify(List<ScenePoint> points, double distance)
    {
        var kept = new bool[points.Count];
        kept[0] = kept[^1] = true;
        var open = new Stack<(int From, int To)>();
        open.Push((0, points.Count - 1));
        while (open.TryPop(out (int From, int To) part))
        {
            double farthest = distance;
            int at = -1;
            for (int i = part.From + 1; i < part.To; i++)
            {
                double away = DistanceTo(points[i], points[part.From], points[part.To]);
                if (away > farthest)
                {
                    (farthest, at) = (away, i);
                }
            }

            if (at > 0)
            {
                kept[at] = true;
                open.Push((part.From, at));
                open.Push((at, part.To));
            }
        }

        return [.. points.Where((_, i) => kept[i])];
    }

    private static double DistanceTo(ScenePoint p, ScenePoint a, ScenePoint b)
    {
        double dx = b.X - a.X;
        double dy = b.Y - a.Y;
        double length = Math.Sqrt(dx * dx + dy * dy);
        return length == 0
            ? Math.Sqrt((p.X - a.X) * (p.X - a.X) + (p.Y - a.Y) * (p.Y - a.Y))
            : Math.Abs((p.X - a.X) * dy - (p.Y - a.Y) * dx) / length;
    }
}
