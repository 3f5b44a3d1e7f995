using System.Collections.Immutable;

namespace PatternCompiler.Pictures;

/// <summary>Many polylines, rings or dots in one array.</summary>
internal sealed class ScenePath
{
    private readonly ScenePoint[] points;
    private readonly int[] ends;

    internal ScenePath(ScenePoint[] points, int[] ends)
    {
        this.points = points;
        this.ends = ends;
    }

    /// <summary>A path of polylines.</summary>
    public static ScenePath Of(IEnumerable<ImmutableArray<(double X, double Y)>> lines)
    {
        var builder = new ScenePathBuilder();
        foreach (ImmutableArray<(double X, double Y)> line in lines)
        {
            foreach ((double x, double y) in line)
            {
                builder.Add(x, y);
            }

            builder.EndPart();
        }

        return builder.ToPath();
    }

    /// <summary>Number of parts.</summary>
    public int Count => ends.Length;

    /// <summary>The points of one part.</summary>
    public ReadOnlySpan<ScenePoint> this[int part]
    {
        get
        {
            int start = part == 0 ? 0 : ends[part - 1];
            return points.AsSpan(start, ends[part] - start);
        }
    }
}
