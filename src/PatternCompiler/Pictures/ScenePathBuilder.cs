namespace PatternCompiler.Pictures;

/// <summary>Grows a <see cref="ScenePath"/>.</summary>
internal sealed class ScenePathBuilder
{
    private readonly List<ScenePoint> points = [];
    private readonly List<int> ends = [];

    /// <summary>Number of finished parts.</summary>
    public int Count => ends.Count;

    /// <summary>Adds a point to the part under construction.</summary>
    public void Add(double x, double y) => points.Add(new ScenePoint(x, y));

    /// <summary>Finishes the part under construction.</summary>
    public void EndPart() => ends.Add(points.Count);

    /// <summary>Adds a part of one point.</summary>
    public void AddDot(double x, double y)
    {
        Add(x, y);
        EndPart();
    }

    /// <summary>Adds a part of two points.</summary>
    public void AddSegment(double x0, double y0, double x1, double y1)
    {
        Add(x0, y0);
        Add(x1, y1);
        EndPart();
    }

    /// <summary>The path as built so far.</summary>
    public ScenePath ToPath() => new([.. points], [.. ends]);
}
