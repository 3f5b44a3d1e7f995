using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Limits;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Passes.Offset;

/// <summary>
/// Grows or shrinks the areas of layers, to make up for the spot's size and for development. Each layer and dose factor is
/// merged first, so that borders inside the layer do not move. Lines without width and dots stay as they are, or grow into
/// areas.
/// </summary>
internal static class OffsetPass
{
    /// <summary>Runs the pass.</summary>
    /// <exception cref="CompileException">A layer is unknown, or the result leaves the coordinate range.</exception>
    public static FlatLayout Run(
        FlatLayout input,
        OffsetOptions options,
        DiagnosticSink sink,
        CancellationToken cancellation)
    {
        foreach (LayerOffset offset in options.Offsets)
        {
            if (offset.Layer is not null && !input.LayerNames.Contains(offset.Layer))
            {
                throw BooleanCodes.NoSuchLayer(offset.Layer, input.LayerNames);
            }
        }

        double gridNanometres = input.GridPicometres * 1e-3;
        var shape = new OffsetShape(options.Join, options.MitreLimit, options.ChordErrorNanometres / gridNanometres);
        var groups = ImmutableArray.CreateBuilder<FlatLayer>(input.Groups.Length);
        foreach (FlatLayer group in input.Groups)
        {
            string layer = input.LayerNames[group.Layer];
            WorkLimits limits = options.Limits.At($"layer '{layer}'");
            double distance = DistanceOf(layer, options) / gridNanometres;
            ContourSet moved = Move(RegionBoolean.Merge(group.Area, cancellation: cancellation, limits: limits), distance, shape, layer, limits, cancellation);
            if (moved.Count == 0 && group.Area.Count > 0 && distance < 0)
            {
                sink.Warn(
                    BooleanCodes.ShrunkAway,
                    $"nothing is left of layer \"{layer}\" (dose factor {group.DoseFactor}) after it shrinks by {-DistanceOf(layer, options)} nm",
                    fix: "shrink less: features narrower than twice the distance vanish");
            }

            groups.Add(options.LineEnds is PathCap ends && distance > 0
                ? group with { Area = AddLines(moved, group, distance, shape, ends, layer, limits, cancellation), Lines = [], Dots = [] }
                : group with { Area = moved });
        }

        return input with { Groups = groups.ToImmutable() };
    }

    private static ContourSet AddLines(
        ContourSet moved, FlatLayer group, double distance, OffsetShape shape, PathCap ends, string layer, WorkLimits limits, CancellationToken cancellation)
    {
        var all = new ContourSetBuilder();
        all.AddAll(moved);
        try
        {
            foreach (ImmutableArray<GridPoint> line in group.Lines)
            {
                all.AddAll(RegionOffset.OfPath(line.AsSpan(), distance, shape, ends, limits));
            }

            foreach (GridPoint dot in group.Dots)
            {
                all.AddAll(RegionOffset.OfPath([dot], distance, shape, ends == PathCap.Flat ? PathCap.Square : ends, limits));
            }
        }
        catch (ArgumentOutOfRangeException)
        {
            throw OutOfRange(layer);
        }

        return RegionBoolean.Merge(all.ToContourSet(), cancellation: cancellation, limits: limits);
    }

    private static double DistanceOf(string layer, OffsetOptions options)
    {
        LayerOffset? found = null;
        foreach (LayerOffset offset in options.Offsets)
        {
            if (offset.Layer == layer || (offset.Layer is null && found is null))
            {
                found = offset;
            }
        }

        return found?.DistanceNanometres ?? 0;
    }

    private static ContourSet Move(ContourSet merged, double distance, OffsetShape shape, string layer, WorkLimits limits, CancellationToken cancellation)
    {
        try
        {
            return RegionOffset.Compute(merged, distance, shape, cancellation: cancellation, limits: limits);
        }
        catch (ArgumentOutOfRangeException)
        {
            throw OutOfRange(layer);
        }
    }

    private static CompileException OutOfRange(string layer) => new(
        BooleanCodes.OutOfRange,
        $"layer \"{layer}\" grows beyond the largest coordinate, {GridPoint.Limit} grid steps",
        fix: "offset by less, or use a coarser grid");
}
