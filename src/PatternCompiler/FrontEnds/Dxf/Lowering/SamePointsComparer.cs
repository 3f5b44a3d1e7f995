using PatternCompiler.Geometry;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>Two rows of points are the same if one is the other, forward or backward.</summary>
internal sealed class SamePointsComparer : IEqualityComparer<GridPoint[]>
{
    public static SamePointsComparer Instance { get; } = new();

    public bool Equals(GridPoint[]? x, GridPoint[]? y)
    {
        if (x is null || y is null || x.Length != y.Length)
        {
            return x == y;
        }

        if (x.AsSpan().SequenceEqual(y))
        {
            return true;
        }

        for (int i = 0; i < x.Length; i++)
        {
            if (x[i] != y[^(i + 1)])
            {
                return false;
            }
        }

        return true;
    }

    public int GetHashCode(GridPoint[] obj)
    {
        // Symmetric in the two ends, so that both directions hash alike.
        GridPoint middle = obj[obj.Length / 2];
        GridPoint mirrored = obj[obj.Length - 1 - (obj.Length / 2)];
        return obj[0].GetHashCode() + obj[^1].GetHashCode() + middle.GetHashCode() + mirrored.GetHashCode() + obj.Length;
    }
}
