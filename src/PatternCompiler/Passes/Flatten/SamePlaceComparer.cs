using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Recurrence;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Passes.Flatten;

/// <summary>Takes shapes for equal that are drawn alike on the same place, at the same dose.</summary>
internal sealed class SamePlaceComparer : IEqualityComparer<Shape>
{
    public static SamePlaceComparer Instance { get; } = new();

    public bool Equals(Shape? a, Shape? b) => (a, b) switch
    {
        (PolygonShape p, PolygonShape q) => p.Layer == q.Layer && p.DoseFactor == q.DoseFactor && p.FillRule == q.FillRule && AreSame(p.Contours, q.Contours),
        (PathShape p, PathShape q) => p.Layer == q.Layer && p.DoseFactor == q.DoseFactor && p.Width == q.Width && p.End == q.End
            && p.Points.AsSpan().SequenceEqual(q.Points.AsSpan()),
        _ => a is null ? b is null : a.Equals(b),
    };

    public int GetHashCode(Shape shape) => shape switch
    {
        PolygonShape polygon => Hash(polygon.Contours.Points),
        PathShape path => Hash(path.Points.AsSpan()),
        _ => shape.GetHashCode(),
    };

    private static int Hash(ReadOnlySpan<GridPoint> points)
    {
        ulong hash = (ulong)points.Length;
        foreach (GridPoint point in points)
        {
            hash = RingHash.Mix(hash, point.X, point.Y);
        }

        return hash.GetHashCode();
    }

    private static bool AreSame(ContourSet a, ContourSet b)
    {
        if (a.Count != b.Count || !a.Points.SequenceEqual(b.Points))
        {
            return false;
        }

        for (int ring = 0; ring < a.Count; ring++)
        {
            if (a[ring].Length != b[ring].Length)
            {
                return false;
            }
        }

        return true;
    }
}
