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
            (ReadOnlyMemory<TravelItem> items, Stretch[] stretches) = Measure(figures, group, plan, unwritten);
            if (items.IsEmpty)
            {
                continue;
            }

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

            }

            TravelItem last = items.Span[travel.Order[^1]];
            at = travel.IsReversed[^1] ? last.Entry : last.Exit;
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
    private TravelPlan OrderGroups(ReadOnlyMemory<TravelItem> items, IEnumerable<int[]> groups, LayerPlan plan)
    {
        var order = new List<int>(items.Length);
        var isReversed = new List<bool>(items.Length);
        (double X, double Y)? from = at;
        foreach (int[] group in groups)
        {
            TravelPlan part = Order(Array.ConvertAll(group, i => items.Span[i]), from, plan);
            order.AddRange(part.Order.Select(i => group[i]));
            isReversed.AddRange(part.IsReversed);
            TravelItem last = items.Span[order[^1]];
            from = isReversed[^1] ? last.Entry : last.Exit;
        }

        return new TravelPlan([.. order], [.. isReversed], 0, 0, 0);
    }

    private TravelPlan Order(ReadOnlyMemory<TravelItem> items, (double X, double Y)? from, LayerPlan plan)
    {
        if (options.Order == WritingOrder.ShortTravel)
        {
            return TravelOrder.Find(items, new TravelOptions(AllowsReversal: !plan.IsOneWay, from, MostTrials: options.MostTrials), cancellation);
        }

        int[] order = [.. Enumerable.Range(0, items.Length)];
        order = options.Order switch
        {
            WritingOrder.AlongX => [.. order.OrderBy(i => items.Span[i].EntryX).ThenBy(i => items.Span[i].EntryY)],
            WritingOrder.AlongY => [.. order.OrderBy(i => items.Span[i].EntryY).ThenBy(i => items.Span[i].EntryX)],
            WritingOrder.Spread => SpreadOrder.Find([.. order.Select(i => items.Span[i].Entry)], cancellation),
            _ => order,
        };
        return new TravelPlan(order, new bool[order.Length], 0, 0, 0);
    }

    /// <summary>Where each figure, or chain of single lines, starts and ends. Figures that are not written are set apart.</summary>
    private (ReadOnlyMemory<TravelItem> Items, Stretch[] Stretches) Measure(IReadOnlyList<Figure> figures, int[] numbers, LayerPlan plan, List<int> unwritten)
    {
        (TravelItem[] items, bool[] isWritten) = FigureEnds.Of(figures, numbers, plan, gridFemtometres, cancellation);
        var stretches = new Stretch[numbers.Length];
        int count = 0;
        for (int i = 0; i < numbers.Length; i++)
        {
            if (!isWritten[i])
            {
                unwritten.Add(numbers[i]);
            }
            else if (count > 0 && stretches[count - 1] is var last && last.First + last.Count == i && Continues(figures[numbers[i - 1]], figures[numbers[i]]))
            {
                stretches[count - 1] = last with { Count = last.Count + 1 };
                items[count - 1] = items[count - 1] with { ExitX = items[i].ExitX, ExitY = items[i].ExitY };
            }
            else
            {
                stretches[count] = new(i, 1);
                items[count++] = items[i];
            }
        }

        return (items.AsMemory(0, count), stretches);
    }

    private static bool Continues(in Figure before, in Figure figure) =>
        before.Kind == FigureKind.Line && figure.Kind == FigureKind.Line && before.End == figure.Start && before.DoseFactor == figure.DoseFactor;

    private readonly record struct Stretch(int First, int Count);
}
