using PatternCompiler.Geometry;
using PatternCompiler.Pictures;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Joins the pieces of all tiles into closed outlines on a layout grid.</summary>
internal static class ContourJoiner
{
    public static ContourSet Join(IEnumerable<ContourChain> chains, long gridPicometres)
    {
        double stepsPerNanometre = 1000.0 / gridPicometres;
        var builder = new ContourSetBuilder();
        var open = new Dictionary<long, ContourChain>();
        var order = new List<long>();
        foreach (ContourChain chain in chains)
        {
            if (chain.Start == chain.End)
            {
                AddRing(builder, [chain], stepsPerNanometre);
            }
            else
            {
                open.Add(chain.Start, chain);
                order.Add(chain.Start);
            }
        }

        foreach (long start in order)
        {
            if (!open.Remove(start, out ContourChain? chain))
            {
                continue;
            }

            var parts = new List<ContourChain> { chain };
            while (parts[^1].End != start && open.Remove(parts[^1].End, out ContourChain? following))
            {
                parts.Add(following);
            }

            AddRing(builder, parts, stepsPerNanometre);
        }

        return builder.ToContourSet();
    }

    private static void AddRing(ContourSetBuilder builder, List<ContourChain> parts, double stepsPerNanometre)
    {
        var ring = new List<GridPoint>();
        foreach (ContourChain part in parts)
        {
            // Each piece's last point is the next one's first.
            for (int i = 0; i < part.Points.Count - 1; i++)
            {
                ScenePoint point = part.Points[i];
                var rounded = new GridPoint(
                    (int)Math.Round(point.X * stepsPerNanometre), (int)Math.Round(point.Y * stepsPerNanometre));
                if (ring.Count == 0 || ring[^1] != rounded)
                {
                    ring.Add(rounded);
                }
            }
        }

        if (ring.Count > 1 && ring[^1] == ring[0])
        {
            ring.RemoveAt(ring.Count - 1);
        }

        if (ring.Count >= 3)
        {
            builder.AddRing(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(ring));
        }
    }
}

/// <summary>A piece of an outline within one tile.</summary>
/// <param name="Start">Name of the pixel edge that it starts on.</param>
/// <param name="End">Name of the pixel edge that it ends on; the start's for a closed outline.</param>
/// <param name="Points">Its points, the first and the last included.</param>
internal sealed record ContourChain(long Start, long End, List<ScenePoint> Points);
