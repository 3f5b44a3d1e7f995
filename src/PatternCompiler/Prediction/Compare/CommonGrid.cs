using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Prediction.Compare;

/// <summary>Brings two flat layouts onto one grid that holds the points of both exactly.</summary>
internal static class CommonGrid
{
    public static (FlatLayout First, FlatLayout Second) Of(FlatLayout first, FlatLayout second)
    {
        long grid = Gcd(first.GridPicometres, second.GridPicometres);
        return (On(first, grid), On(second, grid));
    }

    private static FlatLayout On(FlatLayout layout, long grid)
    {
        long factor = layout.GridPicometres / grid;
        return factor == 1 ? layout : layout with
        {
            GridPicometres = grid,
            Groups = [.. layout.Groups.Select(group => group with
            {
                Area = Scaled(group.Area, factor),
                Lines = [.. group.Lines.Select(line => line.Select(point => Scaled(point, factor)).ToImmutableArray())],
                Dots = [.. group.Dots.Select(point => Scaled(point, factor))],
            })],
        };
    }

    private static ContourSet Scaled(ContourSet rings, long factor)
    {
        var scaled = new ContourSetBuilder();
        for (int ring = 0; ring < rings.Count; ring++)
        {
            foreach (GridPoint point in rings[ring])
            {
                scaled.Add(Scaled(point, factor));
            }

            scaled.EndRing();
        }

        return scaled.ToContourSet();
    }

    private static GridPoint Scaled(GridPoint point, long factor)
    {
        long x = point.X * factor;
        long y = point.Y * factor;
        return Math.Max(Math.Abs(x), Math.Abs(y)) <= GridPoint.Limit
            ? new GridPoint((int)x, (int)y)
            : throw new CompileException(
                CompareCodes.GridsApart,
                "the two documents' grids meet only on one that is too fine for their coordinates",
                fix: "write both on one grid");
    }

    private static long Gcd(long a, long b) => b == 0 ? a : Gcd(b, a % b);
}
