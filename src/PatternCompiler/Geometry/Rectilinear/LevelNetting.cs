using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Geometry.Rectilinear;

/// <summary>Adds up overlapping edges of one grid line into disjoint ones, from left to right; parts that cancel drop out.</summary>
internal sealed class LevelNetting
{
    private GrowingArray<(int At, int Weight)> ends = new(64);
    private GrowingArray<LevelEdge> net = new(64);

    public ReadOnlySpan<LevelEdge> Net(ReadOnlySpan<LevelEdge> edges)
    {
        ends.Count = 0;
        net.Count = 0;
        foreach (LevelEdge edge in edges)
        {
            ends.Add((edge.Left, edge.Weight));
            ends.Add((edge.Right, -edge.Weight));
        }

        ends.Span.Sort();
        int y = edges[0].Y;
        int weight = 0;
        int from = 0;
        for (int i = 0; i < ends.Count;)
        {
            int at = ends.Items[i].At;
            int next = weight;
            for (; i < ends.Count && ends.Items[i].At == at; i++)
            {
                next += ends.Items[i].Weight;
            }

            if (next != weight)
            {
                if (weight != 0)
                {
                    net.Add(new LevelEdge(y, from, at, weight));
                }

                weight = next;
                from = at;
            }
        }

        return net.Span;
    }
}
