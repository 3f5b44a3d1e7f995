using System.Numerics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Proximity;

namespace PatternCompiler.Passes.Route;

/// <summary>Numbers the figures by the connected area that they belong to: figures that touch share a number.</summary>
internal static class FigureIslands
{
    /// <summary>The number of every figure; numbers are those of one figure each.</summary>
    public static int[] Of(FiguresDocument document)
    {
        IReadOnlyList<Figure> figures = document.Figures;
        FigureBox[] boxes = [.. figures.Select(figure => FigureBox.Of(figure))];
        int[] parents = [.. Enumerable.Range(0, boxes.Length)];
        int[] byLeft = [.. parents.OrderBy(i => boxes[i].XLow)];

        // By height, each class up to twice as high as the one before: a figure then looks at few that end below it, even
        // beside one that is as high as the pattern.
        var open = new SortedSet<(double YLow, int Figure)>[33];
        for (int level = 0; level < open.Length; level++)
        {
            open[level] = [];
        }

        var ends = new PriorityQueue<int, double>();
        foreach (int i in byLeft)
        {
            while (ends.TryPeek(out int ended, out double right) && right < boxes[i].XLow - 1)
            {
                ends.Dequeue();
                open[LevelOf(boxes[ended])].Remove((boxes[ended].YLow, ended));
            }

            for (int level = 0; level < open.Length; level++)
            {
                if (open[level].Count == 0)
                {
                    continue;
                }

                foreach ((_, int other) in open[level].GetViewBetween((boxes[i].YLow - (1L << level) - 1, -1), (boxes[i].YHigh + 1, int.MaxValue)))
                {
                    if (boxes[other].YHigh >= boxes[i].YLow - 1 && Find(parents, other) != Find(parents, i) && Touch(figures[i], boxes[i], figures[other], boxes[other]))
                    {
                        parents[Find(parents, other)] = Find(parents, i);
                    }
                }
            }

            open[LevelOf(boxes[i])].Add((boxes[i].YLow, i));
            ends.Enqueue(i, boxes[i].XHigh);
        }

        return [.. Enumerable.Range(0, boxes.Length).Select(i => Find(parents, i))];
    }

    /// <summary>The smallest power of two that is no less than a height.</summary>
    private static int LevelOf(in FigureBox box) => BitOperations.Log2(BitOperations.RoundUpToPowerOf2((ulong)Math.Ceiling(Math.Max(1, box.Height))));

    // A grid step of tolerance: it decides only about the order of writing.
    private static bool Touch(in Figure a, in FigureBox boxA, in Figure b, in FigureBox boxB)
    {
        if (a.IsTransposed != b.IsTransposed || a.Kind != FigureKind.Trapezoid || b.Kind != FigureKind.Trapezoid)
        {
            return true;
        }

        double low = Math.Max(a.Shape.YBottom, b.Shape.YBottom);
        double high = Math.Min(a.Shape.YTop, b.Shape.YTop);
        return low <= high && (Overlap(a.Shape, b.Shape, low) || Overlap(a.Shape, b.Shape, high));
    }

    private static bool Overlap(in Trapezoid a, in Trapezoid b, double y) =>
        Math.Max(GaussianEnergy.XAt(a.Left, y), GaussianEnergy.XAt(b.Left, y)) <= Math.Min(GaussianEnergy.XAt(a.Right, y), GaussianEnergy.XAt(b.Right, y)) + 1;

    private static int Find(int[] parents, int i)
    {
        while (parents[i] != i)
        {
            parents[i] = parents[parents[i]];
            i = parents[i];
        }

        return i;
    }
}
