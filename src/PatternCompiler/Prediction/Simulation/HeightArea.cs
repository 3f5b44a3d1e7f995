using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>An area that is to keep a part of the film.</summary>
/// <param name="Remaining">That part.</param>
/// <param name="Area">Merged outlines.</param>
internal sealed record HeightArea(double Remaining, ContourSet Area)
{
    /// <summary>
    /// All such areas of a layout, from the lowest to the highest. Where areas overlap, what is exposed most holds, as it does by the
    /// usual rule of a build.
    /// </summary>
    public static ImmutableArray<HeightArea> Of(FlatLayout layout, WorkLimits limits, CancellationToken cancellation)
    {
        limits = limits.At("areas with heights");
        if (!layout.Groups.Any(group => group.Height is not null))
        {
            return [];
        }

        var areas = new List<HeightArea>();
        ContourSet taken = ContourSet.Empty;
        foreach (IGrouping<double, FlatLayer> same in layout.Groups
            .Where(group => group.Area.Count > 0)
            .GroupBy(group => group.Height is { } height ? height.Prints ? -1 : height.Remaining : -1)
            .OrderByDescending(same => same.Key < 0 ? double.PositiveInfinity : same.First().DoseFactor.Value))
        {
            var rings = new ContourSetBuilder();
            foreach (FlatLayer group in same)
            {
                rings.AddAll(group.Area);
            }

            ContourSet drawn = rings.ToContourSet();
            if (same.Key >= 0 && same.First().DoseFactor.Millionths > 0)
            {
                ContourSet left = RegionBoolean.Compute(drawn, taken, BooleanOperation.Difference, limits: limits, cancellation: cancellation);
                if (left.Count > 0)
                {
                    areas.Add(new HeightArea(same.Key, left));
                }
            }

            rings.AddAll(taken);
            taken = rings.ToContourSet();
        }

        return [.. areas.OrderBy(area => area.Remaining)];
    }
}
