using CsCheck;
using PatternCompiler.Geometry;

namespace PatternCompiler.Tests.Geometry;

/// <summary>Generators of polygon soup, from tidy to degenerate.</summary>
internal static class RandomRings
{
    /// <summary>Any rings, self-crossing included; a small extent makes for touching, overlapping and repeated edges.</summary>
    public static Gen<ContourSet> Any(int extent, int mostRings = 4, int mostPoints = 9) =>
        Rings(Ring(extent, mostPoints), mostRings);

    /// <summary>Rectilinear rings with repeated edges.</summary>
    public static Gen<ContourSet> Rectilinear(int extent, int mostRings = 5) =>
        Rings(
            Gen.Select(Gen.Int[0, extent], Gen.Int[0, extent], Gen.Int[0, extent], Gen.Int[0, extent], Gen.Bool).Select(
                (x0, y0, x1, y1, swap) => new GridPoint[]
                {
                    new(x0, y0), swap ? new(x0, y1) : new(x1, y0), new(x1, y1), swap ? new(x1, y0) : new(x0, y1),
                }),
            mostRings);

    /// <summary>Extents from a few grid steps to the limits of the coordinate range.</summary>
    public static Gen<ContourSet> OfAnySize { get; } =
        Gen.OneOf(Any(3), Any(6), Any(12), Any(40, 6, 14), Any(1000), Any(100_000, 5, 20), Any(GridPoint.Limit), Rectilinear(8));

    private static Gen<GridPoint[]> Ring(int extent, int mostPoints) =>
        Gen.Select(Gen.Int[-extent, extent], Gen.Int[-extent, extent]).Select((x, y) => new GridPoint(x, y)).Array[1, mostPoints];

    private static Gen<ContourSet> Rings(Gen<GridPoint[]> ring, int mostRings) =>
        ring.Array[0, mostRings].Select(rings =>
        {
            var builder = new ContourSetBuilder();
            foreach (GridPoint[] points in rings)
            {
                builder.AddRing(points);
            }

            return builder.ToContourSet();
        });
}
