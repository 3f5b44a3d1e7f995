using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fracture;

namespace PatternCompiler.Passes.Fields;

/// <summary>
/// Which figures hang together and were drawn as one: trapezoids of a layer that share a stretch of a side, and single
/// lines that continue each other.
/// </summary>
internal sealed class FigureParts
{
    private readonly IReadOnlyList<Figure> figures;
    private readonly int[] lead;

    private FigureParts(IReadOnlyList<Figure> figures)
    {
        this.figures = figures;
        lead = [.. Enumerable.Range(0, figures.Count)];
    }

    /// <summary>For each figure the number of its part's first figure; only the members are looked at.</summary>
    public static int[] Find(IReadOnlyList<Figure> figures, IReadOnlyList<int> members)
    {
        var parts = new FigureParts(figures);
        foreach (IGrouping<(int Layer, bool IsTransposed), int> group in members
            .Where(i => figures[i].Kind == FigureKind.Trapezoid)
            .GroupBy(i => (figures[i].Layer, figures[i].IsTransposed)))
        {
            int[] numbers = [.. group.OrderBy(i => figures[i].Shape.YBottom).ThenBy(i => TrapezoidMeasure.XAt(figures[i].Shape.Left, figures[i].Shape.YBottom))];
            parts.JoinAcross(numbers);
            parts.JoinSideways(numbers);
        }

        parts.JoinLines(members);
        return [.. Enumerable.Range(0, figures.Count).Select(parts.Of)];
    }

    private void JoinAcross(int[] numbers)
    {
        ConnectedParts joined = ConnectedParts.Find([.. numbers.Select(i => figures[i].Shape)]);
        for (int k = 0; k < numbers.Length; k++)
        {
            Join(numbers[joined.Of(k)], numbers[k]);
        }
    }

    /// <summary>Figures that were cut lengthwise share the cut as an edge, one on its left and one on its right.</summary>
    private void JoinSideways(int[] numbers)
    {
        var startsAt = new Dictionary<GridEdge, List<int>>();
        foreach (int i in numbers)
        {
            GridEdge edge = figures[i].Shape.Left;
            if (!startsAt.TryGetValue(edge, out List<int>? list))
            {
                startsAt.Add(edge, list = []);
            }

            list.Add(i);
        }

        foreach (int i in numbers)
        {
            Trapezoid shape = figures[i].Shape;
            if (!startsAt.TryGetValue(shape.Right, out List<int>? neighbours))
            {
                continue;
            }

            // They are sorted by their bottoms and share an edge, so they do not overlap in height.
            for (int k = FirstAbove(neighbours, shape.YBottom); k < neighbours.Count && figures[neighbours[k]].Shape.YBottom < shape.YTop; k++)
            {
                Join(i, neighbours[k]);
            }
        }
    }

    /// <summary>The first of some stacked figures that ends above a height.</summary>
    private int FirstAbove(List<int> stacked, int height)
    {
        int low = 0, high = stacked.Count;
        while (low < high)
        {
            int middle = (low + high) / 2;
            (low, high) = figures[stacked[middle]].Shape.YTop > height ? (low, middle) : (middle + 1, high);
        }

        return low;
    }

    private void JoinLines(IReadOnlyList<int> members)
    {
        var ends = new Dictionary<(int Layer, GridPoint Place), int>();
        foreach (int i in members.Where(i => figures[i].Kind == FigureKind.Line))
        {
            foreach (GridPoint end in new[] { figures[i].Start, figures[i].End })
            {
                if (!ends.TryAdd((figures[i].Layer, end), i))
                {
                    Join(ends[(figures[i].Layer, end)], i);
                }
            }
        }
    }

    private int Of(int i)
    {
        while (lead[i] != i)
        {
            lead[i] = lead[lead[i]];
            i = lead[i];
        }

        return i;
    }

    private void Join(int a, int b)
    {
        a = Of(a);
        b = Of(b);
        lead[Math.Max(a, b)] = Math.Min(a, b);
    }
}
