using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Jobs.Looks;

/// <summary>Whether windows meet what a layout writes: areas by exact intersection, lines and dots by whole numbers.</summary>
internal static class WindowClearance
{
    /// <summary>A window and the layer that it meets; null if none meets any.</summary>
    /// <param name="windows">Boxes in steps of the layout's grid.</param>
    /// <param name="layout">What is written.</param>
    /// <param name="exceptLayer">A layer that may be met.</param>
    /// <param name="limits">On crossings.</param>
    /// <param name="cancellation">Stops the work.</param>
    public static (int Window, int Layer)? FirstMet(
        ImmutableArray<GridBox> windows, FlatLayout layout, int exceptLayer, WorkLimits limits, CancellationToken cancellation)
    {
        foreach (FlatLayer group in layout.Groups.Where(group => group.Layer != exceptLayer))
        {
            GridBox reach = GridBox.Around(group.Area);
            for (int i = 0; i < windows.Length; i++)
            {
                GridBox window = windows[i];
                if (group.Dots.Any(dot => Holds(window, dot))
                    || group.Lines.Any(line => line.Zip(line.Skip(1)).Any(ends => Meets(window, ends.First, ends.Second)))
                    || (window.Overlaps(reach) && RegionBoolean.Compute(group.Area, window.ToContourSet(), BooleanOperation.Intersection, limits: limits, cancellation: cancellation).Count > 0))
                {
                    return (i, group.Layer);
                }
            }
        }

        return null;
    }

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
