using System.Collections.Immutable;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Order;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Puts the figures of a layer into writing order. Single lines that continue each other stay together. The place where
/// one layer ends is where the next one starts.
/// </summary>
internal sealed class FigureSequence
{
    private const double NanometresPerFemtometre = 1e-6;

    private readonly OrderOptions options;
    private readonly long gridFemtometres;
    private readonly CancellationToken cancellation;
    private readonly ImmutableArray<LayerTravel>.Builder travels = ImmutableArray.CreateBuilder<LayerTravel>();
    private (double X, double Y)? at;

    /// <param name="options">What decides.</param>
    /// <param name="gridFemtometres">Size of a grid step.</param>
    /// <param name="cancellation">Stops the work.</param>
    public FigureSequence(OrderOptions options, long gridFemtometres, CancellationToken cancellation)
    {
        this.options = options;
        this.gridFemtometres = gridFemtometres;
        this.cancellation = cancellation;
    }

    /// <summary>Travel of the layers that were ordered for it.</summary>
    public ImmutableArray<LayerTravel> Travels => travels.ToImmutable();

    /// <summary>Numbers of figures in writing order, and whether each is written backwards.</summary>
    /// <param name="figures">All figures of the document.</param>
    /// <param name="numbers">Those to be ordered.</param>
    /// <param name="layer">Name of their layer, for the report.</param>
    /// <param name="plan">How the layer is written.</param>
    public List<(int Number, bool Backwards)> Arrange(IReadOnlyList<Figure> figures, int[] numbers, string layer, LayerPlan plan)
    {
        var sequence = new List<(int, bool)>(numbers.Length);
        if (options is { Order: WritingOrder.AsGiven, Dose: DoseOrder.Mixed })
        {
            sequence.AddRange(numbers.Select(number => (number, false)));
            return sequence;
        }

        var unwritten = new List<int>();
        double before = 0;
        double after = 0;
        double bound = 0;
        foreach (int[] group in ByDose(figures, numbers))
        {
            List<Stretch> stretches = Measure(figures, group, plan, unwritten);
            if (stretches.Count == 0)
            {
                continue;
            }

            TravelItem[] items = [.. stretches.Select(s => s.Item)];
            TravelPlan travel = options switch
            {
                { Subfields: SubfieldGrid grid, Order: not WritingOrder.AsGiven } => OrderGroups(items, grid.Group(items), plan),
                { Islands: { } islands, Order: WritingOrder.ShortTravel } => OrderGroups(
                    items, Order(items, at, plan).Order.GroupBy(i => islands[group[stretches[i].First]]).Select(g => g.ToArray()), plan),
                _ => Order(items, at, plan),
            };
            before += travel.LengthBefore;
            after += travel.LengthAfter;
            bound += travel.LowerBound;
            for (int i = 0; i < travel.Order.Length; i++)
            {
                Stretch stretch = stretches[travel.Order[i]];
                bool backwards = travel.IsReversed[i];
                for (int k = 0; k < stretch.Count; k++)
                {
                    sequence.Add((group[stretch.First + (backwards ? stretch.Count - 1 - k : k)], backwards));
                }

                at = backwards ? (stretch.Item.EntryX, stretch.Item.EntryY) : (stretch.Item.ExitX, stretch.Item.ExitY);
            }
        }

        // They come last, where they are counted and reported.
        sequence.AddRange(unwritten.Select(number => (number, false)));
        if (options.Order == WritingOrder.ShortTravel && before > 0)
        {
            travels.Add(new(layer, before * NanometresPerFemtometre, after * NanometresPerFemtometre, bound * NanometresPerFemtometre));
        }

        return sequence;
    }

    private IEnumerable<int[]> ByDose(IReadOnlyList<Figure> figures, int[] numbers) => options.Dose switch
    {
        DoseOrder.LowestFirst => numbers.GroupBy(n => figures[n].DoseFactor).OrderBy(g => g.Key).Select(g => g.ToArray()),
        DoseOrder.HighestFirst => numbers.GroupBy(n => figures[n].DoseFactor).OrderByDescending(g => g.Key).Select(g => g.ToArray()),
        _ => [numbers],
    };

    // What travel is saved cannot be told from the parts, so nothing is claimed.
    private TravelPlan OrderGroups(TravelItem[] items, IEnumerable<int[]> groups, LayerPlan plan)
    {
        var order = new List<int>(items.Length);
        var isReversed = new List<bool>(items.Length);
        (double X, double Y)? from = at;
        foreach (int[] group in groups)
        {
            TravelPlan part = Order([.. group.Select(i => items[i])], from, plan);
            order.AddRange(part.Order.Select(i => group[i]));
            isReversed.AddRange(part.IsReversed);
            TravelItem last = items[order[^1]];
            from = isReversed[^1] ? (last.EntryX, last.EntryY) : (last.ExitX, last.ExitY);
        }

        return new TravelPlan([.. order], [.. isReversed], 0, 0, 0);
    }

    private TravelPlan Order(TravelItem[] items, (double X, double Y)? from, LayerPlan plan)
    {
        if (options.Order == WritingOrder.ShortTravel)
        {
            return TravelOrder.Find(items, new TravelOptions(AllowsReversal: !plan.IsOneWay, from, MostTrials: options.MostTrials), cancellation);
        }

        int[] order = [.. Enumerable.Range(0, items.Length)];
        order = options.Order switch
        {
            WritingOrder.AlongX => [.. order.OrderBy(i => items[i].EntryX).ThenBy(i => items[i].EntryY)],
            WritingOrder.AlongY => [.. order.OrderBy(i => items[i].EntryY).ThenBy(i => items[i].EntryX)],
            WritingOrder.Spread => SpreadOrder.Find([.. items.Select(item => ((double)item.EntryX, (double)item.EntryY))], cancellation),
            _ => order,
        };
        return new TravelPlan(order, new bool[order.Length], 0, 0, 0);
    }

    /// <summary>Where each figure, or chain of single lines, starts and ends. Figures that are not written are set apart.</summary>
    private List<Stretch> Measure(IReadOnlyList<Figure> figures, int[] numbers, LayerPlan plan, List<int> unwritten)
    {
        var stretches = new List<Stretch>(numbers.Length);
        FigureEnds[] ends = FigureEnds.Of(figures, numbers, plan, gridFemtometres, cancellation);
        for (int i = 0; i < numbers.Length; i++)
        {
            Figure figure = figures[numbers[i]];
            FigureEnds own = ends[i];
            if (!own.IsWritten)
            {
                unwritten.Add(numbers[i]);
                continue;
            }

            if (stretches.Count > 0 && stretches[^1] is var last && last.First + last.Count == i
                && figure.Kind == FigureKind.Line && figures[numbers[i - 1]] is { Kind: FigureKind.Line } previous
                && previous.End == figure.Start && previous.DoseFactor == figure.DoseFactor)
            {
                stretches[^1] = last with { Count = last.Count + 1, Item = last.Item with { ExitX = own.ExitX, ExitY = own.ExitY } };
                continue;
            }

            stretches.Add(new(i, 1, new TravelItem(own.EntryX, own.EntryY, own.ExitX, own.ExitY)));
        }

        return stretches;
    }

    private readonly record struct Stretch(int First, int Count, TravelItem Item);
}
