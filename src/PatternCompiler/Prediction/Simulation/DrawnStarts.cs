using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Rings of a layout that lie, with their first point, in a printed area.</summary>
internal sealed class DrawnStarts
{
    private readonly List<GridPoint> firsts = [];

    private DrawnStarts()
    {
    }

    public static DrawnStarts Inside(ContourSet layout, RegionLookup printed)
    {
        var starts = new DrawnStarts();
        for (int i = 0; i < layout.Count; i++)
        {
            if (printed.Contains(layout[i][0]))
            {
                starts.firsts.Add(layout[i][0]);
            }
        }

        starts.firsts.Sort((a, b) => a.X.CompareTo(b.X));
        return starts;
    }

    /// <summary>True if one of them starts in a box.</summary>
    public bool AnyInside(int left, int bottom, int right, int top)
    {
        int low = 0;
        int high = firsts.Count;
        while (low < high)
        {
            int middle = (low + high) / 2;
            (low, high) = firsts[middle].X < left ? (middle + 1, high) : (low, middle);
        }

        for (int i = low; i < firsts.Count && firsts[i].X <= right; i++)
        {
            if (firsts[i].Y >= bottom && firsts[i].Y <= top)
            {
                return true;
            }
        }

        return false;
    }
}
