using System.Numerics;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using PatternCompiler.Geometry;
using PatternCompiler.Pictures;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// Lines of equal energy through one tile after another (marching squares on the pixel centres). The side above the level lies on the
/// left. Ends on a tile's border are named by the pixel edge that they cross, so that neighbouring tiles fit together
/// without comparing coordinates. Serves one thread; its arrays serve again for the next tile.
/// </summary>
/// <param name="pixel">Side of a pixel in nanometres.</param>
/// <param name="level">The energy.</param>
/// <param name="bias">How far every line is moved down the slope of the energy, in nanometres.</param>
/// <param name="window">What lies outside counts as unexposed, so that outlines close along its border; null for everything.</param>
/// <param name="gridPicometres">Grid of the points.</param>
internal sealed class TileContours(double pixel, double level, double bias, SampleWindow? window, long gridPicometres)
{
    // Pixel centres in a row of cells, and the edges that start at them: one to the right and one upward.
    private const int Centres = ChargeMap.TileSide + 1;
    private const int Edges = 2 * Centres * Centres;
    private const int Words = (Centres + 63) / 64;
    private const int NameOffset = 1 << 29;
    private const int None = -1;

    // Points within this part of a pixel of the line through those kept are dropped.
    private const double Kept = 1.0 / 20;

    private readonly float level = (float)level;
    private readonly double stepsPerNanometre = 1000.0 / gridPicometres;
    private readonly int[] next = [.. Enumerable.Repeat(None, Edges)];
    private readonly bool[] hasBefore = new bool[Edges];
    private readonly ulong[] lower = new ulong[Words];
    private readonly ulong[] upper = new ulong[Words];
    private readonly List<ScenePoint> points = [];
    private readonly List<ContourPieces.Piece> pieces = [];
    private readonly List<GridPoint> piecePoints = [];
    private readonly Stack<(int From, int To)> open = new();
    private bool[] kept = [];
    private bool isAnyLinked;
    private EnergyTile tile = null!;

    /// <summary>Traces a tile of at least two pixels of margin. Pieces are in a fixed order.</summary>
    public ContourPieces Trace(EnergyTile tile)
    {
        this.tile = tile;
        isAnyLinked = false;
        Link();
        pieces.Clear();
        piecePoints.Clear();
        if (isAnyLinked)
        {
            AddPieces(comesFromOutside: true);
            AddPieces(comesFromOutside: false);
        }

        return new ContourPieces(CollectionsMarshal.AsSpan(pieces), CollectionsMarshal.AsSpan(piecePoints));
    }

    private void Link()
    {
        MarkAbove(0, lower);
        for (int row = 0; row < ChargeMap.TileSide; row++)
        {
            MarkAbove(row + 1, upper);
            for (int word = 0; word < Words; word++)
            {
                (ulong low, ulong high) = (lower[word], upper[word]);
                bool isLast = word == Words - 1;
                ulong lowNext = (low >> 1) | (isLast ? 0 : lower[word + 1] << 63);
                ulong highNext = (high >> 1) | (isLast ? 0 : upper[word + 1] << 63);
                ulong changes = (low ^ lowNext) | (low ^ high) | (low ^ highNext);

                // The last centre begins no cell.
                changes &= isLast ? (1UL << ((Centres - 1) & 63)) - 1 : ulong.MaxValue;
                for (; changes != 0; changes &= changes - 1)
                {
                    int bit = BitOperations.TrailingZeroCount(changes);
                    uint inside = (uint)((low >> bit) & 1 | ((lowNext >> bit) & 1) << 1 | ((highNext >> bit) & 1) << 2 | ((high >> bit) & 1) << 3);
                    AddCell((word << 6) + bit, row, inside);
                }
            }

            upper.CopyTo(lower, 0);
        }
    }

    /// <summary>A bit for each centre of a row: above the level, and shown.</summary>
    private void MarkAbove(int row, ulong[] marks)
    {
        ReadOnlySpan<float> values = tile.Values.AsSpan((row + tile.Margin) * tile.Side + tile.Margin, Centres);
        var wideLevel = Vector256.Create(level);
        for (int word = 0; word < Centres / 64; word++)
        {
            ReadOnlySpan<Vector256<float>> wide = MemoryMarshal.Cast<float, Vector256<float>>(values.Slice(word << 6, 64));
            ulong mark = 0;
            for (int i = 0; i < wide.Length; i++)
            {
                mark |= (ulong)Vector256.GreaterThanOrEqual(wide[i], wideLevel).ExtractMostSignificantBits() << (i * Vector256<float>.Count);
            }

            marks[word] = mark;
        }

        marks[^1] = 0;
        for (int column = Centres / 64 * 64; column < Centres; column++)
        {
            marks[^1] |= values[column] >= level ? 1UL << (column & 63) : 0;
        }

        if (window is not null)
        {
            for (int column = 0; column < Centres; column++)
            {
                marks[column >> 6] &= IsShown(column, row) ? ulong.MaxValue : ~(1UL << (column & 63));
            }
        }
    }

    private bool IsShown(int column, int row) => window is not { } part || part.Contains(CentreX(column), CentreY(row));

    private double CentreX(int column) => (tile.FirstColumn + tile.Margin + column + 0.5) * pixel;

    private double CentreY(int row) => (tile.FirstRow + tile.Margin + row + 0.5) * pixel;

    private void AddCell(int column, int row, uint inside)
    {
        int bottom = Edge(column, row, false);
        int left = Edge(column, row, true);
        int right = Edge(column + 1, row, true);
        int top = Edge(column, row + 1, false);
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

        void Link(int from, int to)
        {
            next[from] = to;
            hasBefore[to] = true;
            isAnyLinked = true;
        }
    }

    private float Middle(int column, int row)
    {
        int at = IndexOf(column, row);
        return (tile.Values[at] + tile.Values[at + 1] + tile.Values[at + tile.Side] + tile.Values[at + tile.Side + 1]) / 4;
    }

    private int IndexOf(int column, int row) => (row + tile.Margin) * tile.Side + column + tile.Margin;

    /// <summary>The edge from a pixel centre to the next one, upward or to the right. Within a tile its order is that of the names.</summary>
    private static int Edge(int column, int row, bool isUpward) => (row * Centres + column) * 2 + (isUpward ? 1 : 0);

    private static (int Column, int Row, bool IsUpward) Parts(int edge) => ((edge >> 1) % Centres, (edge >> 1) / Centres, (edge & 1) != 0);

    /// <summary>Name of an edge that all tiles share.</summary>
    private long NameOf(int edge)
    {
        (int column, int row, bool isUpward) = Parts(edge);
        return ((((long)(tile.FirstRow + tile.Margin + row + NameOffset)) << 31) | (long)(tile.FirstColumn + tile.Margin + column + NameOffset)) * 2 + (isUpward ? 1 : 0);
    }

    /// <summary>Where the line crosses an edge.</summary>
    private ScenePoint PlaceOf(int edge)
    {
        (int column, int row, bool isUpward) = Parts(edge);
        (int toColumn, int toRow) = isUpward ? (column, row + 1) : (column + 1, row);
        double part = IsShown(column, row) && IsShown(toColumn, toRow)
            ? tile.CrossingAfter(IndexOf(column, row), isUpward ? tile.Side : 1, level)
            : IsShown(column, row) ? 1 : 0;
        double x = (tile.FirstColumn + tile.Margin + column + 0.5 + (isUpward ? 0 : part)) * pixel;
        double y = (tile.FirstRow + tile.Margin + row + 0.5 + (isUpward ? part : 0)) * pixel;
        if (window is { } shown)
        {
            (x, y) = (Math.Clamp(x, shown.Left, shown.Right), Math.Clamp(y, shown.Bottom, shown.Top));
        }

        return bias != 0 && part is > 0 and < 1 ? Moved(x, y) : new ScenePoint(x, y);
    }

    /// <summary>Moved down the slope of the energy by the bias.</summary>
    private ScenePoint Moved(double x, double y)
    {
        double slopeX = tile.At(x + pixel / 2, y, pixel) - tile.At(x - pixel / 2, y, pixel);
        double slopeY = tile.At(x, y + pixel / 2, pixel) - tile.At(x, y - pixel / 2, pixel);
        double slope = Math.Sqrt(slopeX * slopeX + slopeY * slopeY);
        return slope > 0 ? new ScenePoint(x - bias * slopeX / slope, y - bias * slopeY / slope) : new ScenePoint(x, y);
    }

    private void AddPieces(bool comesFromOutside)
    {
        for (int edge = 0; edge < Edges; edge++)
        {
            int found = next.AsSpan(edge).IndexOfAnyExcept(None);
            if (found < 0)
            {
                return;
            }

            edge += found;
            if (!(comesFromOutside && hasBefore[edge]))
            {
                Walk(edge);
            }
        }
    }

    /// <summary>Follows a line to its end, and forgets it.</summary>
    private void Walk(int start)
    {
        points.Clear();
        points.Add(PlaceOf(start));
        int at = start;
        while (next[at] is not None and int to)
        {
            next[at] = None;
            hasBefore[to] = false;
            points.Add(to == start ? points[0] : PlaceOf(to));
            at = to;
        }

        Simplify();
        int first = piecePoints.Count;
        for (int i = 0; i < points.Count; i++)
        {
            if (kept[i])
            {
                piecePoints.Add(new GridPoint((int)Math.Round(points[i].X * stepsPerNanometre), (int)Math.Round(points[i].Y * stepsPerNanometre)));
            }
        }

        pieces.Add(new ContourPieces.Piece(NameOf(start), NameOf(at), first, piecePoints.Count));
    }

    /// <summary>Drops points within a distance of the line through those kept (U. Ramer, 1972; D. Douglas and T. Peucker, 1973).</summary>
    private void Simplify()
    {
        if (kept.Length < points.Count)
        {
            kept = new bool[2 * points.Count];
        }

        ReadOnlySpan<ScenePoint> all = CollectionsMarshal.AsSpan(points);
        kept.AsSpan(0, all.Length).Clear();
        kept[0] = kept[all.Length - 1] = true;
        open.Push((0, all.Length - 1));
        while (open.TryPop(out (int From, int To) part))
        {
            // Distances from the line, times its length; from a point where the line has none.
            ScenePoint from = all[part.From];
            (double dx, double dy) = (all[part.To].X - from.X, all[part.To].Y - from.Y);
            double length = Math.Sqrt(dx * dx + dy * dy);
            double farthest = pixel * Kept * (length > 0 ? length : 1);
            int at = None;
            for (int i = part.From + 1; i < part.To; i++)
            {
                (double x, double y) = (all[i].X - from.X, all[i].Y - from.Y);
                double away = length > 0 ? Math.Abs(x * dy - y * dx) : Math.Sqrt(x * x + y * y);
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
    }
}
