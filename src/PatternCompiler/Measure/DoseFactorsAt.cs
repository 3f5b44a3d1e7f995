using PatternCompiler.Geometry;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Measure;

/// <summary>Dose factors of a drawing, place by place.</summary>
internal sealed class DoseFactorsAt
{
    private readonly double scale;
    private readonly List<(GridBox Box, ContourSet Rings, int Ring, int Group)> rings = [];
    private readonly FlatLayout layout;

    /// <summary>Of a flat drawing.</summary>
    public DoseFactorsAt(FlatLayout layout)
    {
        this.layout = layout;
        scale = layout.GridPicometres * 1e-3;
        for (int group = 0; group < layout.Groups.Length; group++)
        {
            ContourSet area = layout.Groups[group].Area;
            for (int ring = 0; ring < area.Count; ring++)
            {
                rings.Add((GridBox.Around(area[ring]), area, ring, group));
            }
        }
    }

    /// <summary>The one dose factor that holds there; not a number where nothing is drawn or several meet.</summary>
    public double At(double xNanometres, double yNanometres)
    {
        (double x, double y) = (xNanometres / scale, yNanometres / scale);
        var windings = new SortedDictionary<int, int>();
        foreach ((GridBox box, ContourSet set, int ring, int group) in rings)
        {
            if (x >= box.XLeft && x <= box.XRight && y >= box.YBottom && y <= box.YTop)
            {
                windings[group] = windings.GetValueOrDefault(group) + Winding(set[ring], x, y);
            }
        }

        double[] factors = [.. windings.Where(pair => pair.Value != 0).Select(pair => layout.Groups[pair.Key].DoseFactor.Value).Distinct()];
        return factors is [var only] ? only : double.NaN;
    }

    private static int Winding(ReadOnlySpan<GridPoint> ring, double x, double y)
    {
        int winding = 0;
        for (int k = 0; k < ring.Length; k++)
        {
            (GridPoint a, GridPoint b) = (ring[k], ring[(k + 1) % ring.Length]);
            if (a.Y <= y != b.Y <= y && x < a.X + (y - a.Y) / ((double)b.Y - a.Y) * ((double)b.X - a.X))
            {
                winding += a.Y <= y ? 1 : -1;
            }
        }

        return winding;
    }
}
