using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fill;

/// <summary>A connected area: its outline and the holes in it.</summary>
/// <param name="Figure">Number of the first figure that it is made of.</param>
/// <param name="Rings">The outline, counter-clockwise, and the holes, clockwise.</param>
/// <param name="Area">
/// Area of its figures in square grid steps. That of the rings differs from it by what rounding corners to the grid moves.
/// </param>
internal sealed record ContourIsland(int Figure, ContourSet Rings, double Area)
{
    /// <summary>Merges areas and takes the result apart into islands, in the order of their first figures.</summary>
    public static List<ContourIsland> Find(IReadOnlyList<Figure> figures, int[] numbers, WorkLimits limits, CancellationToken cancellation)
    {
        var builder = new ContourSetBuilder();
        foreach (int number in numbers)
        {
            builder.AddRing(Corners(figures[number]));
        }

        ContourSet merged = RegionBoolean.Merge(builder.ToContourSet(), threads: 1, limits: limits, cancellation: cancellation);
        var outlines = new List<(int Ring, double Area)>();
        var holes = new List<int>();
        for (int i = 0; i < merged.Count; i++)
        {
            double area = (double)ExactArea.Twice(merged[i]);
            if (area > 0)
            {
                outlines.Add((i, area));
            }
            else
            {
                holes.Add(i);
            }
        }

        // A hole belongs to the smallest outline around it.
        outlines.Sort((a, b) => a.Area.CompareTo(b.Area));
        var islands = outlines.ConvertAll(o => new ContourSetBuilder());
        var ownerOfCorner = new Dictionary<GridPoint, int>();
        for (int i = 0; i < outlines.Count; i++)
        {
            islands[i].AddRing(merged[outlines[i].Ring]);
            foreach (GridPoint corner in merged[outlines[i].Ring])
            {
                ownerOfCorner.TryAdd(corner, i);
            }
        }

        foreach (int hole in holes)
        {
            int owner = outlines.FindIndex(o => Surrounds(merged[o.Ring], merged[hole][0], merged[hole][1]));
            islands[Math.Max(owner, 0)].AddRing(merged[hole]);
        }

        var firstFigure = new int[islands.Count];
        var areas = new double[islands.Count];
        Array.Fill(firstFigure, int.MaxValue);
        foreach (int number in numbers)
        {
            GridPoint[] corners = Corners(figures[number]);
            int[] owners = [.. corners.Where(ownerOfCorner.ContainsKey).Select(corner => ownerOfCorner[corner]).Distinct()];

            // A figure in the middle has no corner on an outline; islands may touch at a corner.
            int owner = owners.Length == 1 ? owners[0] : outlines.FindIndex(o => Surrounds(merged[o.Ring], corners[0], corners[2]));
            if (owner >= 0)
            {
                firstFigure[owner] = Math.Min(firstFigure[owner], number);
                areas[owner] += new AreaShape(figures[number], 1, linesAlongX: true).Area;
            }
        }

        return [.. islands
            .Select((rings, i) => new ContourIsland(firstFigure[i] == int.MaxValue ? numbers[0] : firstFigure[i], rings.ToContourSet(), areas[i]))
            .OrderBy(island => island.Figure)];
    }

    private static GridPoint[] Corners(in Figure figure)
    {
        Trapezoid t = figure.Shape;
        bool transposed = figure.IsTransposed;
        GridPoint[] corners = [At(t.Left, t.YBottom), At(t.Right, t.YBottom), At(t.Right, t.YTop), At(t.Left, t.YTop)];
        if (transposed)
        {
            Array.Reverse(corners);
        }

        return corners;

        GridPoint At(in GridEdge edge, int height)
        {
            int x = (int)EdgeCut.XAt(edge, 1, height);
            return transposed ? new GridPoint(height, x) : new GridPoint(x, height);
        }
    }

    /// <summary>True if the middle between two points lies inside a ring.</summary>
    private static bool Surrounds(ReadOnlySpan<GridPoint> outline, GridPoint from, GridPoint to)
    {
        double x = ((double)from.X + to.X) / 2;
        double y = ((double)from.Y + to.Y) / 2;
        bool inside = false;
        for (int i = 0, j = outline.Length - 1; i < outline.Length; j = i++)
        {
            GridPoint a = outline[i];
            GridPoint b = outline[j];
            if (a.Y > y != b.Y > y && x < ((double)b.X - a.X) * (y - a.Y) / ((double)b.Y - a.Y) + a.X)
            {
                inside = !inside;
            }
        }

        return inside;
    }
}
