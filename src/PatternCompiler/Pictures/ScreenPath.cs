namespace PatternCompiler.Pictures;

/// <summary>Polylines, rings or dots in pixels, x to the right, y down, ready for a surface. Reusable after <see cref="Clear"/>.</summary>
internal sealed class ScreenPath
{
    private readonly List<(float X, float Y)> points = [];
    private readonly List<int> ends = [];

    /// <summary>Number of finished parts.</summary>
    public int Count => ends.Count;

    /// <summary>Number of points in all parts.</summary>
    public int PointCount => points.Count;

    /// <summary>All points, part after part.</summary>
    public ReadOnlySpan<(float X, float Y)> Points => System.Runtime.InteropServices.CollectionsMarshal.AsSpan(points);

    /// <summary>The points of one part.</summary>
    public ReadOnlySpan<(float X, float Y)> this[int part]
    {
        get
        {
            int start = part == 0 ? 0 : ends[part - 1];
            return Points[start..ends[part]];
        }
    }

    /// <summary>Adds a point to the part under construction.</summary>
    public void Add(double x, double y) => points.Add(((float)x, (float)y));

    /// <summary>Finishes the part under construction.</summary>
    public void EndPart() => ends.Add(points.Count);

    /// <summary>Empties the path.</summary>
    public void Clear()
    {
        points.Clear();
        ends.Clear();
    }
}
