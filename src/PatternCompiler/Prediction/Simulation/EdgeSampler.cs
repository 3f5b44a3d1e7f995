using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Chooses the places on drawn edges where their error is measured.</summary>
internal static class EdgeSampler
{
    // Outlines of circles turn by less than this from edge to edge.
    private const double CornerCosine = 0.94;

    /// <summary>Samples of merged outlines, grouped by tile.</summary>
    /// <param name="outlines">Rings that do not cross, the covered area on their left.</param>
    /// <param name="gridPicometres">Their grid.</param>
    /// <param name="options">Spacing and distance from corners.</param>
    /// <param name="tileNanometres">Side of a tile.</param>
    /// <param name="window">The only part of interest, or null.</param>
    public static Dictionary<(int Column, int Row), List<EdgeSample>> Sample(
        ContourSet outlines, long gridPicometres, SimulationOptions options, double tileNanometres, SampleWindow? window)
    {
        var samples = new Dictionary<(int, int), List<EdgeSample>>();
        double scale = gridPicometres * 1e-3;
        for (int i = 0; i < outlines.Count; i++)
        {
            ReadOnlySpan<GridPoint> ring = outlines[i];
            double sinceLast = options.SampleNanometres / 2;
            for (int k = 0; k < ring.Length; k++)
            {
                SampleEdge(ring, k, scale, options, ref sinceLast, Add);
            }
        }

        return samples;

        void Add(EdgeSample sample)
        {
            if (window is { } part && !part.Widened(-options.SearchNanometres).Contains(sample.X, sample.Y))
            {
                return;
            }

            (int, int) place = ((int)Math.Floor(sample.X / tileNanometres), (int)Math.Floor(sample.Y / tileNanometres));
            if (!samples.TryGetValue(place, out List<EdgeSample>? list))
            {
                list = [];
                samples.Add(place, list);
            }

            list.Add(sample);
        }
    }

    // Samples are evenly spaced along the outline across its vertices, so that many short edges weigh no more than a long one.
    private static void SampleEdge(
        ReadOnlySpan<GridPoint> ring, int k, double scale, SimulationOptions options, ref double sinceLast, Action<EdgeSample> add)
    {
        GridPoint before = ring[(k + ring.Length - 1) % ring.Length];
        GridPoint a = ring[k];
        GridPoint b = ring[(k + 1) % ring.Length];
        GridPoint after = ring[(k + 2) % ring.Length];
        double dx = ((double)b.X - a.X) * scale;
        double dy = ((double)b.Y - a.Y) * scale;
        double length = Math.Sqrt(dx * dx + dy * dy);
        if (length == 0)
        {
            return;
        }

        (dx, dy) = (dx / length, dy / length);
        double from = IsCorner(before, a, b) ? options.CornerDistanceNanometres : 0;
        double to = length - (IsCorner(a, b, after) ? options.CornerDistanceNanometres : 0);
        double at = Math.Max(from, options.SampleNanometres - sinceLast);
        double last = -sinceLast;
        for (; at <= to; at += options.SampleNanometres)
        {
            add(new EdgeSample(a.X * scale + at * dx, a.Y * scale + at * dy, dy, -dx));
            last = at;
        }

        sinceLast = length - last;
    }

    private static bool IsCorner(GridPoint a, GridPoint b, GridPoint c)
    {
        double ux = (double)b.X - a.X;
        double uy = (double)b.Y - a.Y;
        double vx = (double)c.X - b.X;
        double vy = (double)c.Y - b.Y;
        return ux * vx + uy * vy < CornerCosine * Math.Sqrt((ux * ux + uy * uy) * (vx * vx + vy * vy));
    }
}

/// <summary>A place on a drawn edge with the direction out of the drawn area.</summary>
internal readonly record struct EdgeSample(double X, double Y, double OutX, double OutY);
