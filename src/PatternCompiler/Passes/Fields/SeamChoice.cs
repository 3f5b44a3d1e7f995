using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Fields;

/// <summary>
/// Chooses where a seam runs. Two fields never stand quite where they should, so everything that a seam cuts gets a jog: the
/// narrower it is, the worse. The seam goes where it cuts least and widest, and where it leaves no slivers.
/// </summary>
internal static class SeamChoice
{
    private const int EvenPlaces = 128;
    private const int MostEnds = 128;

    /// <summary>Costs are whole numbers, so that their sums do not depend on their order.</summary>
    private const long CutCost = 1000;

    /// <summary>Best place between two limits, the one nearest to their middle among equals.</summary>
    /// <param name="near">The figures near the seam.</param>
    /// <param name="lowest">Lower limit.</param>
    /// <param name="highest">Upper limit.</param>
    /// <param name="micrometre">Grid steps of a micrometre: what is narrower counts double, and a tenth of it is a sliver.</param>
    public static int Find(IEnumerable<SeamNeighbour> near, int lowest, int highest, long micrometre)
    {
        int middle = (int)(((long)lowest + highest) / 2);
        SeamNeighbour[] stacked = [.. near.OrderBy(figure => figure.Layer).ThenBy(figure => figure.Box.YBottom)];
        if (!Array.Exists(stacked, figure => figure.IsCut))
        {
            return middle;
        }

        int best = middle;
        long least = long.MaxValue;
        foreach (int place in Places(stacked, lowest, highest).OrderBy(place => Math.Abs((long)place - middle)).ThenBy(place => place))
        {
            long cost = CostAt(place, stacked, micrometre);
            if (cost < least)
            {
                (least, best) = (cost, place);
            }
        }

        return best;
    }

    /// <summary>Evenly spread places, and those where figures end.</summary>
    private static IEnumerable<int> Places(SeamNeighbour[] near, int lowest, int highest)
    {
        IEnumerable<int> even = Enumerable.Range(0, EvenPlaces + 1).Select(i => (int)(lowest + (((long)highest - lowest) * i / EvenPlaces)));
        int[] ends =
        [
            .. near.Where(figure => figure.IsCut)
                .SelectMany(figure => new[] { figure.Box.XLeft, figure.Box.XRight })
                .Where(end => end >= lowest && end <= highest)
                .Distinct(),
        ];
        return ends.Length <= MostEnds ? even.Concat(ends) : even;
    }

    /// <summary>Sum over the stretches of a seam that cut something; figures that lie on each other make one stretch.</summary>
    private static long CostAt(int place, SeamNeighbour[] stacked, long micrometre)
    {
        long sliver = Math.Max(1, micrometre / 10);
        long cost = 0;
        (int Layer, long Bottom, long Top, bool IsCut) stretch = (-1, 0, 0, false);
        foreach (SeamNeighbour figure in stacked)
        {
            GridBox box = figure.Box;
            if (box.XLeft >= place || box.XRight <= place)
            {
                continue;
            }

            if (figure.IsCut && Math.Min((long)place - box.XLeft, (long)box.XRight - place) < sliver)
            {
                cost += CutCost * (1 + (((long)box.YTop - box.YBottom) / sliver));
            }

            if (figure.Layer == stretch.Layer && box.YBottom <= stretch.Top)
            {
                stretch = (figure.Layer, stretch.Bottom, Math.Max(stretch.Top, box.YTop), stretch.IsCut || figure.IsCut);
                continue;
            }

            cost += CostOf(stretch.IsCut, stretch.Top - stretch.Bottom);
            stretch = (figure.Layer, box.YBottom, box.YTop, figure.IsCut);
        }

        return cost + CostOf(stretch.IsCut, stretch.Top - stretch.Bottom);

        long CostOf(bool isCut, long length) => isCut ? CutCost + (CutCost * micrometre / Math.Max(length, sliver)) : 0;
    }
}

/// <summary>A figure near a seam.</summary>
/// <param name="Layer">Its layer.</param>
/// <param name="Box">Its extent; the seam is upright.</param>
/// <param name="IsCut">It is cut where it crosses the seam; otherwise it stays whole.</param>
internal readonly record struct SeamNeighbour(int Layer, GridBox Box, bool IsCut);
