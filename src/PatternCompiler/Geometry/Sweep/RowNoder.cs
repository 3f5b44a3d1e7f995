using System.Runtime.Intrinsics;
using PatternCompiler.Limits;

namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Finds the vertices of one row (ends of edges and rounded crossings) and which edges pass through each one's unit
/// square. Moving every edge to the centres of all such squares leaves no crossings (snap rounding: Hobby, Practical
/// segment intersection with finite precision output, Comput. Geom. 13, 1999; Guibas and Marimont, Rounding arrangements
/// dynamically, 1998), so one round suffices. The row is cut into tiles (<see cref="RowTiles"/>), each small enough to compare everything with
/// everything. One instance serves many rows in turn; it only keeps its memory.
/// </summary>
internal sealed class RowNoder(InputEdge[] edges, WorkMeter meter)
{
    private const int ManyCrossings = 1 << 20;
    private const int CountEvery = 1 << 12;

    // What costs as much as a crossing: comparisons of edges of one tile, and edges that pass through one square.
    private const int ComparisonsPerCrossing = 512;
    private const int PassesPerCrossing = 4;

    private readonly CrossingShare share = new(edges, meter);
    private readonly RowTiles tiles = new(edges);
    private readonly RadixSort sort = new();

    private int[] minX = [];
    private int[] maxX = [];
    private int[] minY = [];
    private int[] maxY = [];
    private double[] pixelX = [];
    private double[] pixelY = [];

    private GrowingArray<ulong> tileKeys = new(256);
    private GrowingArray<ulong> keys = new(1024);
    private GrowingArray<int> passVertices = new(1024);
    private GrowingArray<int> passes = new(1024);

    /// <summary>
    /// Nodes the row of grid lines <paramref name="firstY"/> to <paramref name="lastY"/>. Once the meter's limit is exceeded
    /// rows come out incomplete.
    /// </summary>
    public NodedRow Node(int firstY, int lastY, ReadOnlyMemory<int> edgesOfRow)
    {
        ReadOnlySpan<int> rowEdges = edgesOfRow.Span;
        keys.Count = 0;
        passVertices.Count = 0;
        passes.Count = 0;
        share.Begin(firstY, lastY, rowEdges);
        if (rowEdges.Length > 0 && !share.IsExceeded)
        {
            tiles.Cut(firstY, lastY, rowEdges);
            for (int tile = 0; tile < tiles.Count && !share.IsExceeded; tile++)
            {
                NodeTile(tiles.First(tile), tiles.Last(tile), firstY, lastY, rowEdges, tiles.Edges(tile));
            }
        }

        return Collect(edgesOfRow);
    }

    private void NodeTile(int firstX, int lastX, int firstY, int lastY, ReadOnlySpan<int> rowEdges, ReadOnlySpan<int> inTile)
    {
        int padded = inTile.Length + Vector256<int>.Count;
        RowTiles.Resize(ref minX, padded);
        RowTiles.Resize(ref maxX, padded);
        RowTiles.Resize(ref minY, padded);
        RowTiles.Resize(ref maxY, padded);
        tileKeys.Count = 0;
        ReadOnlySpan<int> low = tiles.Low, high = tiles.High;
        for (int i = 0; i < inTile.Length; i++)
        {
            int position = inTile[i];
            ref readonly InputEdge edge = ref edges[rowEdges[position]];
            minX[i] = low[position];
            maxX[i] = high[position];
            minY[i] = edge.LowerY;
            maxY[i] = edge.UpperY;
            int x = edge.StartX, y = edge.StartY;
            if (x >= firstX && x <= lastX && y >= firstY && y <= lastY)
            {
                tileKeys.Add(PixelKey.Pack(x, y));
            }
        }

        if (FindCrossings(firstX, lastX, firstY, lastY, rowEdges, inTile) && tileKeys.Count > 0)
        {
            int first = keys.Count;
            KeepDistinct();
            FindPasses(first, rowEdges, inTile);
        }
    }

    /// <summary>
    /// Collects the rounded crossings that lie in the tile. Where thousands of edges meet in few points the list is cleared
    /// of repeats along the way, so that memory stays bounded by the points. False if there are more than is allowed.
    /// </summary>
    private bool FindCrossings(int firstX, int lastX, int firstY, int lastY, ReadOnlySpan<int> rowEdges, ReadOnlySpan<int> inTile)
    {
        int count = inTile.Length;
        int clearAt = ManyCrossings;
        int found = 0;
        long compared = 0;
        for (int i = 0; i < count - 1; i++)
        {
            if (tileKeys.Count >= clearAt)
            {
                DropRepeats();
                clearAt = Math.Max(ManyCrossings, 2 * tileKeys.Count);
            }

            compared += count - i;
            if (found + (compared / ComparisonsPerCrossing) >= CountEvery)
            {
                if (!share.TryCount(found + (compared / ComparisonsPerCrossing)))
                {
                    return false;
                }

                (found, compared) = (0, compared % ComparisonsPerCrossing);
            }

            ref readonly InputEdge edge = ref edges[rowEdges[inTile[i]]];
            var low = Vector256.Create(minX[i]);
            var high = Vector256.Create(maxX[i]);
            var bottom = Vector256.Create(minY[i]);
            var top = Vector256.Create(maxY[i]);
            for (int j = i + 1; j < count; j += Vector256<int>.Count)
            {
                Vector256<int> apart =
                    Vector256.GreaterThan(Vector256.LoadUnsafe(ref minX[j]), high) |
                    Vector256.LessThan(Vector256.LoadUnsafe(ref maxX[j]), low) |
                    Vector256.GreaterThan(Vector256.LoadUnsafe(ref minY[j]), top) |
                    Vector256.LessThan(Vector256.LoadUnsafe(ref maxY[j]), bottom);
                uint near = ~apart.ExtractMostSignificantBits() & 0xFF;
                while (near != 0)
                {
                    int k = j + System.Numerics.BitOperations.TrailingZeroCount(near);
                    near &= near - 1;
                    if (k < count
                        && Crossing.TryRound(edge, edges[rowEdges[inTile[k]]], out ulong key))
                    {
                        int x = PixelKey.X(key), y = PixelKey.Y(key);
                        if (x >= firstX && x <= lastX && y >= firstY && y <= lastY)
                        {
                            tileKeys.Add(key);
                            found++;
                        }
                    }
                }
            }
        }

        return share.TryCount(found + (compared / ComparisonsPerCrossing));
    }

    /// <summary>Sorts the tile's vertices and drops repeats.</summary>
    private void DropRepeats()
    {
        Span<ulong> sorted = tileKeys.Span;
        sorted.Sort();
        int kept = 0;
        foreach (ulong key in sorted)
        {
            // A marked key follows its unmarked twin and takes its place.
            if (kept > 0 && (sorted[kept - 1] | PixelKey.RoundedMark) == (key | PixelKey.RoundedMark))
            {
                sorted[kept - 1] = key;
            }
            else
            {
                sorted[kept++] = key;
            }
        }

        tileKeys.Count = kept;
    }

    /// <summary>Appends the tile's distinct vertices to the row's.</summary>
    private void KeepDistinct()
    {
        DropRepeats();
        int first = keys.Count;
        keys.Reserve(first + tileKeys.Count);
        tileKeys.Span.CopyTo(keys.Items.AsSpan(first));
        keys.Count += tileKeys.Count;

        int count = keys.Count - first;
        int padded = count + Vector256<double>.Count;
        RowTiles.Resize(ref pixelX, padded);
        RowTiles.Resize(ref pixelY, padded);
        for (int i = 0; i < count; i++)
        {
            pixelX[i] = PixelKey.X(keys.Items[first + i]);
            pixelY[i] = PixelKey.Y(keys.Items[first + i]);
        }
    }

    private void FindPasses(int first, ReadOnlySpan<int> rowEdges, ReadOnlySpan<int> inTile)
    {
        ReadOnlySpan<ulong> vertices = keys.Span[first..];
        int counted = passes.Count;
        long compared = 0;
        foreach (int position in inTile)
        {
            long work = ((passes.Count - counted) / PassesPerCrossing) + (compared / ComparisonsPerCrossing);
            if (work >= CountEvery)
            {
                if (!share.TryCount(work))
                {
                    return;
                }

                (counted, compared) = (passes.Count, 0);
            }

            ref readonly InputEdge edge = ref edges[rowEdges[position]];
            if (edge.IsHorizontal)
            {
                // Lies on one grid line already: nothing moves it, and the sweep has no use for it.
                continue;
            }

            int from = LowerBound(vertices, PixelKey.LineStart(edge.LowerY));
            int to = LowerBound(vertices, PixelKey.LineStart(edge.UpperY + 1));
            compared += to - from;
            int left = edge.MinX, right = edge.MaxX;

            // The filter may err by a few units in the last place of its products, hence the allowance; the exact test
            // follows.
            double dx = (double)edge.UpperX - edge.LowerX;
            double dy = (double)edge.UpperY - edge.LowerY;
            double allowance = ((Math.Abs(dx) + dy) * 0.5) + 1 + (Math.Abs(dx) * dy * 1e-15);
            var vectorDx = Vector256.Create(dx);
            var vectorDy = Vector256.Create(dy);
            var lowerX = Vector256.Create((double)edge.LowerX);
            var lowerY = Vector256.Create((double)edge.LowerY);
            var reach = Vector256.Create(allowance);
            for (int i = from; i < to; i += Vector256<double>.Count)
            {
                Vector256<double> distance =
                    (vectorDx * (Vector256.LoadUnsafe(ref pixelY[i]) - lowerY)) -
                    (vectorDy * (Vector256.LoadUnsafe(ref pixelX[i]) - lowerX));
                uint near = Vector256.LessThanOrEqual(Vector256.Abs(distance), reach).ExtractMostSignificantBits();
                while (near != 0)
                {
                    int k = i + System.Numerics.BitOperations.TrailingZeroCount(near);
                    near &= near - 1;
                    if (k >= to)
                    {
                        break;
                    }

                    int x = (int)pixelX[k];
                    if (x < left || x > right)
                    {
                        continue;
                    }

                    PassKind kind = PixelPass.Judge(edge, x, (int)pixelY[k]);
                    if (kind != PassKind.None)
                    {
                        passVertices.Add(first + k);
                        passes.Add(EdgePass.Pack(position, kind == PassKind.BesideCentre));
                    }
                }
            }
        }
    }

    private static int LowerBound(ReadOnlySpan<ulong> sorted, ulong key)
    {
        int low = 0, high = sorted.Length;
        while (low < high)
        {
            int middle = (low + high) >>> 1;
            if (sorted[middle] < key)
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

    /// <summary>Orders the row's vertices and groups the passes by vertex.</summary>
    private NodedRow Collect(ReadOnlyMemory<int> edgesOfRow)
    {
        int count = keys.Count;
        ReadOnlySpan<int> order = sort.Order(keys.Span);
        ulong[] vertices = new ulong[count];
        int[] rank = new int[count];
        ulong marks = 0;
        for (int i = 0; i < count; i++)
        {
            vertices[i] = keys.Items[order[i]];
            rank[order[i]] = i;
            marks |= vertices[i] & PixelKey.RoundedMark;
        }

        var starts = new int[count + 1];
        ReadOnlySpan<int> passed = passVertices.Span;
        foreach (int vertex in passed)
        {
            starts[rank[vertex] + 1]++;
        }

        for (int i = 0; i < count; i++)
        {
            starts[i + 1] += starts[i];
        }

        int[] next = starts.AsSpan(0, count).ToArray();
        int[] grouped = new int[passed.Length];
        for (int i = 0; i < passed.Length; i++)
        {
            grouped[next[rank[passed[i]]]++] = passes.Items[i];
        }

        return new NodedRow(edgesOfRow, vertices, starts, grouped, marks != 0);
    }
}
