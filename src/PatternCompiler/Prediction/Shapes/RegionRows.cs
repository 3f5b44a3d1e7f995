using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>
/// Rings that do not cross, cut by one row after the other from below: which region every stretch of the row lies in. Rows
/// run half a grid step off the grid, so that no vertex lies on one.
/// </summary>
internal sealed class RegionRows
{
    private const int Unknown = -2;
    private const int MostInserted = 16;
    private readonly (int Bottom, int Top, double X, double Slope, int Ring)[] edges;
    private readonly List<int> active = [];
    private readonly List<(double X, int Ring)> crossings = [];
    private readonly bool[] isInside;
    private readonly int[] parents;
    private int nextEdge;

    public RegionRows(ContourSet rings)
    {
        Rings = rings;
        isInside = new bool[rings.Count];
        IsOuter = new bool[rings.Count];
        parents = new int[rings.Count];
        Array.Fill(parents, Unknown);
        var list = new List<(int, int, double, double, int)>(rings.PointCount);
        for (int r = 0; r < rings.Count; r++)
        {
            ReadOnlySpan<GridPoint> ring = rings[r];
            IsOuter[r] = ExactArea.Twice(ring) > 0;
            GridPoint a = ring[^1];
            foreach (GridPoint b in ring)
            {
                (GridPoint low, GridPoint high) = a.Y < b.Y ? (a, b) : (b, a);
                if (low.Y != high.Y)
                {
                    list.Add((low.Y, high.Y, low.X, ((double)high.X - low.X) / ((double)high.Y - low.Y), r));
                }

                a = b;
            }
        }

        edges = [.. list.OrderBy(edge => edge.Item1)];
    }

    public ContourSet Rings { get; }

    /// <summary>True for rings with the area inside.</summary>
    public bool[] IsOuter { get; }

    /// <summary>The region inside a ring.</summary>
    public Region Inside(int ring) => ring < 0 ? Region.Outside : new Region(ring, IsOuter[ring]);

    /// <summary>The region around a ring, once a row has crossed it.</summary>
    public Region Around(int ring) => Inside(Math.Max(-1, parents[ring]));

    /// <summary>Starts again below the lowest row.</summary>
    public void Restart()
    {
        active.Clear();
        nextEdge = 0;
    }

    /// <summary>
    /// Borders along a row, from left to right, each with the region that begins there. Rows must ascend.
    /// </summary>
    /// <param name="below">Grid line below the row, which runs half a step above it.</param>
    /// <param name="borders">Takes them.</param>
    public void Cut(int below, List<(double X, Region Region)> borders)
    {
        borders.Clear();
        active.RemoveAll(edge => edges[edge].Top <= below);
        int known = active.Count;
        for (; nextEdge < edges.Length && edges[nextEdge].Bottom <= below; nextEdge++)
        {
            if (edges[nextEdge].Top > below)
            {
                active.Add(nextEdge);
            }
        }

        Sort(below + 0.5, active.Count - known);
        int region = -1;
        foreach ((double x, int ring) in crossings)
        {
            if (!isInside[ring])
            {
                parents[ring] = parents[ring] == Unknown ? region : parents[ring];
                region = ring;
            }
            else
            {
                region = parents[ring];
            }

            isInside[ring] = !isInside[ring];
            borders.Add((x, Inside(region)));
        }
    }

    /// <summary>Active edges in order of their crossing: little changes from row to row, so that each is moved a place or two.</summary>
    private void Sort(double y, int added)
    {
        if (added > MostInserted)
        {
            active.Sort((a, b) => XAt(a, y).CompareTo(XAt(b, y)) is var order and not 0 ? order : a.CompareTo(b));
        }

        crossings.Clear();
        for (int i = 0; i < active.Count; i++)
        {
            int edge = active[i];
            int ring = edges[edge].Ring;
            double x = XAt(edge, y);
            crossings.Add((x, ring));
            int at = i;
            for (; at > 0 && crossings[at - 1].X > x; at--)
            {
                crossings[at] = crossings[at - 1];
                active[at] = active[at - 1];
            }

            crossings[at] = (x, ring);
            active[at] = edge;
        }
    }

    private double XAt(int edge, double y) => edges[edge].X + (y - edges[edge].Bottom) * edges[edge].Slope;
}
