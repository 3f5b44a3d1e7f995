using PatternCompiler.Geometry;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>Gathers points that lie within a gap of one another into nodes, in order of arrival.</summary>
internal sealed class ChainNodes
{
    private readonly long cellSize;
    private readonly long squaredGap;
    private readonly Dictionary<(long X, long Y), List<int>> cells = [];
    private readonly List<GridPoint> positions = [];

    /// <param name="gap">Largest distance to a node's first point, in grid steps; 0 gathers equal points only.</param>
    public ChainNodes(int gap)
    {
        cellSize = (long)gap + 1;
        squaredGap = (long)gap * gap;
    }

    /// <summary>Number of nodes.</summary>
    public int Count => positions.Count;

    /// <summary>The point that founded a node.</summary>
    public GridPoint this[int node] => positions[node];

    /// <summary>Square of the distance; the largest one possible on the grid still fits.</summary>
    public static long SquaredDistance(GridPoint a, GridPoint b)
    {
        long dx = (long)a.X - b.X;
        long dy = (long)a.Y - b.Y;
        return (dx * dx) + (dy * dy);
    }

    /// <summary>Nearest node within the gap, or -1; the older one of two equally near.</summary>
    public int Find(GridPoint point)
    {
        (long cx, long cy) = CellOf(point);
        int best = -1;
        long bestDistance = long.MaxValue;
        for (long x = cx - 1; x <= cx + 1; x++)
        {
            for (long y = cy - 1; y <= cy + 1; y++)
            {
                if (!cells.TryGetValue((x, y), out List<int>? inCell))
                {
                    continue;
                }

                foreach (int node in inCell)
                {
                    long distance = SquaredDistance(positions[node], point);
                    if (distance <= squaredGap && (distance < bestDistance || (distance == bestDistance && node < best)))
                    {
                        (best, bestDistance) = (node, distance);
                    }
                }
            }
        }

        return best;
    }

    /// <summary>The node of a point, a new one if none is within the gap.</summary>
    public int FindOrAdd(GridPoint point)
    {
        int node = Find(point);
        return node >= 0 ? node : Add(point);
    }

    /// <summary>Founds a node.</summary>
    public int Add(GridPoint point)
    {
        (long X, long Y) cell = CellOf(point);
        if (!cells.TryGetValue(cell, out List<int>? inCell))
        {
            cells.Add(cell, inCell = []);
        }

        inCell.Add(positions.Count);
        positions.Add(point);
        return positions.Count - 1;
    }

    private (long X, long Y) CellOf(GridPoint point) =>
        ((point.X + (2L * GridPoint.Limit)) / cellSize, (point.Y + (2L * GridPoint.Limit)) / cellSize);
}
