using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Tells whether a place lies in an area given by rings (nonzero rule). Edges are sorted into bands of height.</summary>
internal sealed class RegionLookup
{
    private const int MostBands = 4096;
    private readonly List<(GridPoint A, GridPoint B)>[] bands;
    private readonly long bottom;
    private readonly long bandHeight;

    public RegionLookup(ContourSet rings)
    {
        long low = long.MaxValue;
        long high = long.MinValue;
        foreach (GridPoint point in rings.Points)
        {
            low = Math.Min(low, point.Y);
            high = Math.Max(high, point.Y);
        }

        bottom = low;
        bandHeight = rings.PointCount == 0 ? 1 : (high - low) / MostBands + 1;
        bands = new List<(GridPoint, GridPoint)>[rings.PointCount == 0 ? 0 : (high - low) / bandHeight + 1];
        for (int i = 0; i < rings.Count; i++)
        {
            ReadOnlySpan<GridPoint> ring = rings[i];
            for (int k = 0; k < ring.Length; k++)
            {
                Add(ring[k], ring[(k + 1) % ring.Length]);
            }
        }
    }

    /// <summary>True if the point lies inside; on the boundary either answer may come.</summary>
    public bool Contains(GridPoint point)
    {
        long band = (point.Y - bottom) / bandHeight;
        if (point.Y < bottom || band >= bands.Length || bands[band] is null)
        {
            return false;
        }

        int winding = 0;
        foreach ((GridPoint a, GridPoint b) in bands[band])
        {
            bool isAbove = a.Y > point.Y;
            if (isAbove == b.Y > point.Y)
            {
                continue;
            }

            // Positive if the point lies left of the edge from a to b.
            long side = ((long)b.X - a.X) * ((long)point.Y - a.Y) - ((long)point.X - a.X) * ((long)b.Y - a.Y);
            if (!isAbove && side > 0)
            {
                winding++;
            }
            else if (isAbove && side < 0)
            {
                winding--;
            }
        }

        return winding != 0;
    }

    private void Add(GridPoint a, GridPoint b)
    {
        if (a.Y == b.Y)
        {
            return;
        }

        long first = (Math.Min(a.Y, b.Y) - bottom) / bandHeight;
        long last = (Math.Max(a.Y, b.Y) - bottom) / bandHeight;
        for (long band = first; band <= last; band++)
        {
            (bands[band] ??= []).Add((a, b));
        }
    }
}
