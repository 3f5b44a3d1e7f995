using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Compare;

/// <summary>Compares what two flat layouts cover, layer by layer and dose factor by dose factor.</summary>
internal static class AreaComparer
{
    /// <summary>Compares; layers and dose factors that only one of the two has are compared with nothing.</summary>
    /// <exception cref="Diagnostics.CompileException">The two grids cannot be brought together.</exception>
    public static ImmutableArray<LayerComparison> Compare(FlatLayout first, FlatLayout second, WorkLimits limits, CancellationToken cancellation)
    {
        (first, second) = CommonGrid.Of(first, second);
        var keys = first.Groups.Select(group => (first.LayerNames[group.Layer], group.DoseFactor))
            .Concat(second.Groups.Select(group => (second.LayerNames[group.Layer], group.DoseFactor)))
            .Distinct();
        return [.. keys.Select(key => Compare(key.Item1, key.DoseFactor, Find(first, key), Find(second, key), first.GridPicometres, limits, cancellation))];
    }

    /// <summary>The areas that only the first, only the second and both cover, of all layers together; for pictures.</summary>
    public static (ContourSet OnlyFirst, ContourSet OnlySecond, ContourSet Both) Parts(FlatLayout first, FlatLayout second, WorkLimits limits, CancellationToken cancellation)
    {
        (first, second) = CommonGrid.Of(first, second);
        ContourSet a = AllAreas(first);
        ContourSet b = AllAreas(second);
        return (
            RegionBoolean.Compute(a, b, BooleanOperation.Difference, limits: limits, cancellation: cancellation),
            RegionBoolean.Compute(b, a, BooleanOperation.Difference, limits: limits, cancellation: cancellation),
            RegionBoolean.Compute(a, b, BooleanOperation.Intersection, limits: limits, cancellation: cancellation));
    }

    private static FlatLayer? Find(FlatLayout layout, (string Layer, DoseFactor DoseFactor) key) =>
        layout.Groups.FirstOrDefault(group => layout.LayerNames[group.Layer] == key.Layer && group.DoseFactor == key.DoseFactor);

    private static LayerComparison Compare(
        string layer, DoseFactor doseFactor, FlatLayer? first, FlatLayer? second, long gridPicometres, WorkLimits limits, CancellationToken cancellation)
    {
        ContourSet a = RegionBoolean.Merge(first?.Area ?? ContourSet.Empty, limits: limits, cancellation: cancellation);
        ContourSet b = RegionBoolean.Merge(second?.Area ?? ContourSet.Empty, limits: limits, cancellation: cancellation);
        ContourSet different = RegionBoolean.Compute(a, b, BooleanOperation.SymmetricDifference, limits: limits, cancellation: cancellation);
        double step = gridPicometres * 1e-3;
        (double shift, double x, double y) = EdgeShift(different, new OutlineDistance(a), new OutlineDistance(b));
        return new LayerComparison(
            layer,
            doseFactor,
            Area(a) * step * step,
            Area(b) * step * step,
            Area(different) * step * step,
            shift * step,
            x * step,
            y * step,
            Unmatched(first?.Lines ?? [], second?.Lines ?? [], line => string.Join(' ', line)) + Unmatched(first?.Dots ?? [], second?.Dots ?? [], dot => dot));
    }

    /// <summary>Every place around the different area lies on an outline of one; how far is the outline of the other?</summary>
    private static (double Shift, double X, double Y) EdgeShift(ContourSet different, OutlineDistance first, OutlineDistance second)
    {
        (double Shift, double X, double Y) worst = default;
        for (int ring = 0; ring < different.Count; ring++)
        {
            ReadOnlySpan<GridPoint> points = different[ring];
            double extent = Extent(points);
            for (int i = 0; i < points.Length && extent > worst.Shift; i++)
            {
                GridPoint start = points[i];
                GridPoint end = points[i + 1 < points.Length ? i + 1 : 0];
                foreach ((double x, double y) in new[] { ((double)start.X, (double)start.Y), ((start.X + (double)end.X) / 2, (start.Y + (double)end.Y) / 2) })
                {
                    double shift = Math.Max(first.From(x, y, worst.Shift, extent), second.From(x, y, worst.Shift, extent));
                    if (shift > worst.Shift)
                    {
                        worst = (shift, x, y);
                    }
                }
            }
        }

        return worst;
    }

    private static double Extent(ReadOnlySpan<GridPoint> points)
    {
        (double left, double right, double bottom, double top) = (double.MaxValue, double.MinValue, double.MaxValue, double.MinValue);
        foreach (GridPoint point in points)
        {
            (left, right) = (Math.Min(left, point.X), Math.Max(right, point.X));
            (bottom, top) = (Math.Min(bottom, point.Y), Math.Max(top, point.Y));
        }

        return Math.Max(right - left, top - bottom);
    }

    private static double Area(ContourSet merged) => (double)ExactArea.Twice(merged) / 2;

    private static long Unmatched<T, TKey>(IEnumerable<T> first, IEnumerable<T> second, Func<T, TKey> key)
        where TKey : notnull
    {
        var balance = new Dictionary<TKey, long>();
        foreach (T item in first)
        {
            balance[key(item)] = balance.GetValueOrDefault(key(item)) + 1;
        }

        foreach (T item in second)
        {
            balance[key(item)] = balance.GetValueOrDefault(key(item)) - 1;
        }

        return balance.Values.Sum(Math.Abs);
    }

    private static ContourSet AllAreas(FlatLayout layout)
    {
        var rings = new ContourSetBuilder();
        foreach (FlatLayer group in layout.Groups)
        {
            for (int ring = 0; ring < group.Area.Count; ring++)
            {
                foreach (GridPoint point in group.Area[ring])
                {
                    rings.Add(point);
                }

                rings.EndRing();
            }
        }

        return rings.ToContourSet();
    }
}
