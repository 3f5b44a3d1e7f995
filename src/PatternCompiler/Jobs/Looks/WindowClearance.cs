using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Boolean;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Looks;

/// <summary>Whether windows meet what a layout writes: areas by exact intersection, lines and dots by whole numbers.</summary>
internal static class WindowClearance
{
    // No drawing has layers whose names hold a line end.
    private const string Windows = "windows\n";

    /// <summary>A window and the layer that it meets; null if none meets any.</summary>
    /// <param name="windows">Boxes in steps of the layout's grid.</param>
    /// <param name="layout">What is written.</param>
    /// <param name="exceptLayer">A layer that may be met.</param>
    /// <param name="limits">On crossings.</param>
    /// <param name="sink">Takes notes.</param>
    /// <param name="cancellation">Stops the work.</param>
    public static (int Window, int Layer)? FirstMet(
        ImmutableArray<GridBox> windows, FlatLayout layout, int exceptLayer, WorkLimits limits, DiagnosticSink sink, CancellationToken cancellation)
    {
        foreach (FlatLayer group in layout.Groups.Where(group => group.Layer != exceptLayer))
        {
            for (int i = 0; i < windows.Length; i++)
            {
                GridBox window = windows[i];
                if (group.Dots.Any(dot => Holds(window, dot)) || group.Lines.Any(line => line.Zip(line.Skip(1)).Any(ends => Meets(window, ends.First, ends.Second))))
                {
                    return (i, group.Layer);
                }
            }
        }

        return FirstArea(windows, layout, exceptLayer, limits, sink, cancellation);
    }

    private static (int Window, int Layer)? FirstArea(
        ImmutableArray<GridBox> windows, FlatLayout layout, int exceptLayer, WorkLimits limits, DiagnosticSink sink, CancellationToken cancellation)
    {
        int[] layers = [.. layout.Groups.Where(group => group.Layer != exceptLayer && group.Area.Count > 0).Select(group => group.Layer).Distinct()];
        if (layers.Length == 0)
        {
            return null;
        }

        FlatLayout with = layout with
        {
            LayerNames = layout.LayerNames.Add(Windows),
            Groups = [.. layout.Groups, .. windows.Select(window => new FlatLayer(layout.LayerNames.Length, DoseFactor.One, window.ToContourSet(), [], []))],
        };
        LayoutDocument met = BooleanPass.Run(
            with,
            new BooleanOptions { Operations = [.. layers.Select(layer => new LayerOperation(ResultOf(layer), BooleanOperation.Intersection, layout.LayerNames[layer], Windows))], Limits = limits },
            sink,
            cancellation);
        FlatLayout flat = FlattenPass.Run(met, new FlattenOptions { Limits = limits }, sink, cancellation);
        foreach (FlatLayer group in flat.Groups.Where(group => group.Area.Count > 0))
        {
            GridBox part = GridBox.Around(group.Area[0]);
            int window = windows.Index().First(box => box.Item.XLeft <= part.XLeft && box.Item.XRight >= part.XRight && box.Item.YBottom <= part.YBottom && box.Item.YTop >= part.YTop
                || box.Item.Overlaps(part)).Index;
            return (window, layers.First(layer => ResultOf(layer) == flat.LayerNames[group.Layer]));
        }

        return null;
    }

    private static string ResultOf(int layer) => $"met\n{layer}";

    private static bool Holds(GridBox box, GridPoint point) => point.X >= box.XLeft && point.X <= box.XRight && point.Y >= box.YBottom && point.Y <= box.YTop;

    // Apart if both ends lie beyond one side, or all corners on one side of the line.
    private static bool Meets(GridBox box, GridPoint a, GridPoint b)
    {
        if (Math.Max(a.X, b.X) < box.XLeft || Math.Min(a.X, b.X) > box.XRight || Math.Max(a.Y, b.Y) < box.YBottom || Math.Min(a.Y, b.Y) > box.YTop)
        {
            return false;
        }

        long dx = (long)b.X - a.X, dy = (long)b.Y - a.Y;
        Int128 Side(int x, int y) => ((Int128)dx * ((long)y - a.Y)) - ((Int128)dy * ((long)x - a.X));
        Int128[] sides = [Side(box.XLeft, box.YBottom), Side(box.XRight, box.YBottom), Side(box.XRight, box.YTop), Side(box.XLeft, box.YTop)];
        return !(sides.All(side => side > 0) || sides.All(side => side < 0));
    }
}
