using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Jobs;

/// <summary>The bounding box of a flat layout.</summary>
internal sealed class PatternBounds
{
    private GridPoint lowest = new(int.MaxValue, int.MaxValue);
    private GridPoint highest = new(int.MinValue, int.MinValue);

    private PatternBounds()
    {
    }

    /// <summary>The move that brings the middle of the pattern to the origin; none for an empty pattern.</summary>
    public static GridPoint MoveToCentre(FlatLayout layout)
    {
        var bounds = new PatternBounds();
        foreach (FlatLayer group in layout.Groups)
        {
            bounds.Include(group.Area.Points);
            bounds.Include(group.Dots.AsSpan());
            foreach (ImmutableArray<GridPoint> line in group.Lines)
            {
                bounds.Include(line.AsSpan());
            }
        }

        return bounds.lowest.X > bounds.highest.X
            ? default
            : new GridPoint(MinusHalf(bounds.lowest.X, bounds.highest.X), MinusHalf(bounds.lowest.Y, bounds.highest.Y));
    }

    /// <summary>A middle between two grid points goes to the right and up: half a step cannot be told from none.</summary>
    private static int MinusHalf(int a, int b) => (int)-(((long)a + b) >> 1);

    private void Include(ReadOnlySpan<GridPoint> points)
    {
        foreach (GridPoint point in points)
        {
            lowest = new(Math.Min(lowest.X, point.X), Math.Min(lowest.Y, point.Y));
            highest = new(Math.Max(highest.X, point.X), Math.Max(highest.Y, point.Y));
        }
    }
}
