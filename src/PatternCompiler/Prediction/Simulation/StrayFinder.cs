using System.Collections.Immutable;
using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Finds printed places that touch nothing of the layout.</summary>
internal static class StrayFinder
{
    /// <summary>Compares printed outlines with the layout's, both on one grid.</summary>
    public static ImmutableArray<StrayArea> Find(ContourSet printed, ContourSet layout, long gridPicometres)
    {
        var drawn = new RegionLookup(layout);
        var inPrint = new RegionLookup(printed);
        DrawnStarts touched = DrawnStarts.Inside(layout, inPrint);
        double scale = gridPicometres * 1e-3;
        var strays = new List<StrayArea>();
        for (int i = 0; i < printed.Count; i++)
        {
            ReadOnlySpan<GridPoint> ring = printed[i];
            double area = (double)ExactArea.Twice(ring) / 2;
            if (area <= 0 || Touches(ring, drawn))
            {
                continue;
            }

            (int left, int bottom, int right, int top) = Extent(ring);
            if (!touched.AnyInside(left, bottom, right, top))
            {
                strays.Add(new StrayArea(
                    new SampleWindow(left * scale, bottom * scale, right * scale, top * scale), area * scale * scale));
            }
        }

        return [.. strays.OrderByDescending(stray => stray.AreaSquareNanometres)];
    }

    private static bool Touches(ReadOnlySpan<GridPoint> ring, RegionLookup drawn)
    {
        foreach (GridPoint point in ring)
        {
            if (drawn.Contains(point))
            {
                return true;
            }
        }

        return false;
    }

    internal static (int Left, int Bottom, int Right, int Top) Extent(ReadOnlySpan<GridPoint> ring)
    {
        (int left, int bottom, int right, int top) = (ring[0].X, ring[0].Y, ring[0].X, ring[0].Y);
        foreach (GridPoint point in ring)
        {
            (left, bottom) = (Math.Min(left, point.X), Math.Min(bottom, point.Y));
            (right, top) = (Math.Max(right, point.X), Math.Max(top, point.Y));
        }

        return (left, bottom, right, top);
    }
}
