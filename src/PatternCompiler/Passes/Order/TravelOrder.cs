namespace PatternCompiler.Passes.Order;

/// <summary>
/// Finds an order of items with short blanked travel: a greedy ring, improved by 2-opt and Or-opt moves between near
/// neighbours and by iterated local search. Same items, same order, on any machine.
/// </summary>
internal static class TravelOrder
{
    private const int Neighbours = 12;
    private const int TrialsPerItem = 10;

    // More are divided into tiles, which fit the cache and are ordered side by side.
    private const int MostItemsAtOnce = 1 << 17;
    private const int MostItemsOfTile = 1 << 14;
    private const int NeighboursInTiles = 8;

    /// <summary>Orders items.</summary>
    public static TravelPlan Find(ReadOnlyMemory<TravelItem> items, TravelOptions options, CancellationToken cancellation)
    {
        if (items.IsEmpty)
        {
            return new TravelPlan([], [], 0, 0, 0);
        }

        if (items.Length > MostItemsAtOnce)
        {
            return FindByTiles(items, options, MostItemsOfTile, cancellation);
        }

        var order = new int[items.Length];
        var isReversed = new bool[items.Length];
        (double before, double after, TravelBound bound) = FindAtOnce(items.Span, options, [], order, isReversed, cancellation);
        return new TravelPlan(order, isReversed, before, after, Math.Min(after, bound.Length));
    }

    /// <summary>Orders items tile by tile; from tile to tile the way leads through gates.</summary>
    /// <param name="items">The items, at least one.</param>
    /// <param name="options">What the order must respect.</param>
    /// <param name="mostOfTile">About how many items a tile has at most.</param>
    /// <param name="cancellation">Stops the work.</param>
    internal static TravelPlan FindByTiles(ReadOnlyMemory<TravelItem> items, TravelOptions options, int mostOfTile, CancellationToken cancellation)
    {
        var tiles = TravelTiles.Divide(items, options.Start, mostOfTile);
        var order = new int[items.Length];
        var isReversed = new bool[items.Length];
        var bounds = new TravelBound[tiles.Count];
        Parallel.For(0, tiles.Count, new ParallelOptions { CancellationToken = cancellation }, tile =>
        {
            ReadOnlySpan<int> members = tiles.ItemsOf(tile);
            var own = new TravelItem[members.Length];
            for (int i = 0; i < own.Length; i++)
            {
                own[i] = items.Span[members[i]];
            }

            int first = tiles.FirstOf(tile);
            Span<int> ownOrder = order.AsSpan(first, own.Length);
            TravelOptions part = options with
            {
                // Where the beam comes from may not matter; where the first tile is left does.
                Start = tiles.EntryOf(tile) ?? options.Start ?? own[0].Entry,
                End = tiles.ExitOf(tile) ?? options.End,
                MostTrials = (int)((long)options.MostTrials * own.Length / items.Length),
            };
            (_, _, bounds[tile]) = FindAtOnce(own, part, tiles.Others(tile), ownOrder, isReversed.AsSpan(first, own.Length), cancellation);
            foreach (ref int item in ownOrder)
            {
                item = members[item];
            }
        });

        double before = TravelLength(items.Span, options, i => i, _ => false);
        double after = TravelLength(items.Span, options, i => order[i], i => isReversed[i]);
        TravelBound bound = bounds.Aggregate((a, b) => a.With(b));
        return after < before
            ? new TravelPlan(order, isReversed, before, after, Math.Min(after, bound.Length))
            : new TravelPlan([.. Enumerable.Range(0, items.Length)], new bool[items.Length], before, before, Math.Min(before, bound.Length));
    }

    /// <summary>Orders items; the order and the directions go where there is room for them.</summary>
    private static (double Before, double After, TravelBound Bound) FindAtOnce(
        ReadOnlySpan<TravelItem> items, TravelOptions options, ReadOnlySpan<OtherTile> elsewhere, Span<int> order, Span<bool> isReversed, CancellationToken cancellation)
    {
        var endpoints = new Endpoints(items, options);
        int[] members = [.. Enumerable.Range(0, 2 * items.Length)];
        int[] itemOf = [.. Enumerable.Range(0, endpoints.Count).Select(e => e >> 1)];
        using NeighbourTable near = NeighbourTable.Find(endpoints, members, itemOf, elsewhere.IsEmpty ? Neighbours : NeighboursInTiles);
        int[] asGiven = [2 * endpoints.StartItem + 1, .. Enumerable.Range(0, items.Length).Select(i => 2 * i)];
        double before = RingLength(endpoints, asGiven);
        var tour = new Tour(GreedyTour.Build(endpoints, near, options.AllowsReversal, cancellation));
        new TourImprovement(endpoints, near, tour, options.AllowsReversal, before)
            .Run(Math.Min((long)items.Length * TrialsPerItem, options.MostTrials), cancellation);
        int[] found = ReadOut(endpoints, tour);
        double after = RingLength(endpoints, found);
        if (after >= before)
        {
            (found, after) = (asGiven, before);
        }

        for (int i = 0; i < order.Length; i++)
        {
            (order[i], isReversed[i]) = (found[i + 1] >> 1, (found[i + 1] & 1) == 1);
        }

        return (before, after, TravelBound.Of(endpoints, near, elsewhere));
    }

    /// <summary>Where each item is entered, beginning with the start item, in the direction in which that is left at the start place.</summary>
    private static int[] ReadOut(Endpoints endpoints, Tour tour)
    {
        int start = tour.PlaceOf(2 * endpoints.StartItem);
        bool forward = tour.IsLeftAt(2 * endpoints.StartItem);
        var order = new int[tour.Count];
        for (int i = 0; i < order.Length; i++)
        {
            int place = forward ? start + i : start - i + tour.Count;
            order[i] = tour.At(place % tour.Count) ^ (forward ? 0 : 1);
        }

        return order;
    }

    private static double RingLength(Endpoints endpoints, int[] order)
    {
        double length = 0;
        for (int i = 0; i < order.Length; i++)
        {
            length += endpoints.Distance(order[i] ^ 1, order[i + 1 == order.Length ? 0 : i + 1]);
        }

        return length;
    }

    /// <summary>Travel of items in an order, from the start and to the end that the options name.</summary>
    private static double TravelLength(ReadOnlySpan<TravelItem> items, TravelOptions options, Func<int, int> itemAt, Func<int, bool> isReversed)
    {
        double length = 0;
        (double X, double Y)? at = options.Start;
        for (int i = 0; i < items.Length; i++)
        {
            TravelItem item = items[itemAt(i)];
            bool backwards = isReversed(i);
            length += Distance(at, backwards ? item.Exit : item.Entry);
            at = backwards ? item.Entry : item.Exit;
        }

        return length + Distance(at, options.End);
    }

    private static double Distance((double X, double Y)? from, (double X, double Y)? to) => from is { } a && to is { } b
        ? Math.Sqrt((a.X - b.X) * (a.X - b.X) + (a.Y - b.Y) * (a.Y - b.Y))
        : 0;
}

/// <summary>
/// Something that is written as one beam-on segment: where it is entered and where it is left. Written backwards
/// the two change places. Any unit of length, the same for all items.
/// </summary>
/// <param name="EntryX">Where writing starts.</param>
/// <param name="EntryY">Where writing starts.</param>
/// <param name="ExitX">Where writing ends.</param>
/// <param name="ExitY">Where writing ends.</param>
public readonly record struct TravelItem(double EntryX, double EntryY, double ExitX, double ExitY)
{
    /// <summary>An item that starts and ends at one place.</summary>
    public static TravelItem Dot(double x, double y) => new(x, y, x, y);

    /// <summary>Where writing starts.</summary>
    public (double X, double Y) Entry => (EntryX, EntryY);

    /// <summary>Where writing ends.</summary>
    public (double X, double Y) Exit => (ExitX, ExitY);

    /// <summary>The middle between both ends.</summary>
    public double CentreX => (EntryX + ExitX) / 2;

    /// <summary>The middle between both ends.</summary>
    public double CentreY => (EntryY + ExitY) / 2;
}

/// <summary>What an order of items must respect.</summary>
/// <param name="AllowsReversal">Items may be written backwards.</param>
/// <param name="Start">Where the beam stands before the first item, or null if that does not matter.</param>
/// <param name="End">Where the beam goes after the last item, if it has a start, or null if that does not matter.</param>
/// <param name="MostTrials">
/// Limit of the trials of improvement, of which there are at most ten per item. A limit on work, not on time, so that the
/// result is the same on every machine.
/// </param>
internal sealed record TravelOptions(bool AllowsReversal, (double X, double Y)? Start = null, (double X, double Y)? End = null, int MostTrials = TravelOptions.DefaultTrials)
{
    /// <summary>Comes within a few percent of the shortest travel in one or two seconds for 100,000 items.</summary>
    public const int DefaultTrials = 30_000;
}

/// <summary>An order of items.</summary>
/// <param name="Order">Indices of the items in writing order.</param>
/// <param name="IsReversed">For each place in the order: the item is written backwards.</param>
/// <param name="LengthBefore">Blanked travel in the order in which the items came.</param>
/// <param name="LengthAfter">Blanked travel in this order.</param>
/// <param name="LowerBound">No order can travel less.</param>
internal sealed record TravelPlan(int[] Order, bool[] IsReversed, double LengthBefore, double LengthAfter, double LowerBound);
