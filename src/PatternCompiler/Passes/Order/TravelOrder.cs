namespace PatternCompiler.Passes.Order;

/// <summary>
/// Finds an order of items with short blanked travel: a greedy ring, improved by 2-opt and Or-opt moves between near
/// neighbours and by iterated local search. Same items, same order, on any machine.
/// </summary>
internal static class TravelOrder
{
    private const int Neighbours = 12;
    private const int TrialsPerItem = 10;

    /// <summary>Orders items.</summary>
    public static TravelPlan Find(ReadOnlySpan<TravelItem> items, TravelOptions options, CancellationToken cancellation)
    {
        var endpoints = new Endpoints(items, options);
        if (items.IsEmpty)
        {
            return new TravelPlan([], [], 0, 0, 0);
        }

        int[] members = [.. Enumerable.Range(0, 2 * items.Length)];
        int[] itemOf = [.. Enumerable.Range(0, endpoints.Count).Select(e => e >> 1)];
        NeighbourTable near = NeighbourTable.Find(endpoints, members, itemOf, Neighbours);
        int[] asGiven = [2 * endpoints.StartItem + 1, .. Enumerable.Range(0, items.Length).Select(i => 2 * i)];
        double before = RingLength(endpoints, asGiven);
        var tour = new Tour(GreedyTour.Build(endpoints, near, options.AllowsReversal, cancellation));
        new TourImprovement(endpoints, near, tour, options.AllowsReversal, before)
            .Run(Math.Min((long)items.Length * TrialsPerItem, options.MostTrials), cancellation);
        int[] order = ReadOut(endpoints, tour);
        double after = RingLength(endpoints, order);
        if (after >= before)
        {
            (order, after) = (asGiven, before);
        }

        return new TravelPlan(
            [.. order.Skip(1).Select(e => e >> 1)],
            [.. order.Skip(1).Select(e => (e & 1) == 1)],
            before,
            after,
            Math.Min(after, LowerBound(endpoints, near, options)));
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

    /// <summary>
    /// Each link is at least as long as the mean of what its two ends need to reach their nearest other item; an item
    /// that starts and ends at one place needs two different neighbours. Open ends need none.
    /// </summary>
    private static double LowerBound(Endpoints endpoints, NeighbourTable near, TravelOptions options)
    {
        double sum = 0;
        double largest = 0;
        double second = 0;
        for (int item = 0; item < endpoints.StartItem; item++)
        {
            int entry = 2 * item;
            ReadOnlySpan<int> neighbours = near[entry];
            double toEntry = neighbours.IsEmpty ? 0 : endpoints.Distance(entry, neighbours[0]);
            double toExit = near[entry + 1].IsEmpty ? 0 : endpoints.Distance(entry + 1, near[entry + 1][0]);
            if (endpoints.Distance(entry, entry + 1) == 0)
            {
                foreach (int other in neighbours)
                {
                    if (other >> 1 != neighbours[0] >> 1)
                    {
                        toExit = endpoints.Distance(entry, other);
                        break;
                    }
                }
            }

            foreach (double distance in (ReadOnlySpan<double>)[toEntry, toExit])
            {
                sum += distance;
                (largest, second) = distance > largest ? (distance, largest) : (largest, Math.Max(second, distance));
            }
        }

        // The first and the last item are linked to the start, not to each other.
        return options.ReturnsToStart && endpoints.StartItem == 0 ? 0 : Math.Max(0, (sum - largest - second) / 2);
    }
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
}

/// <summary>What an order of items must respect.</summary>
/// <param name="AllowsReversal">Items may be written backwards.</param>
/// <param name="Start">Where the beam stands before the first item, or null if that does not matter.</param>
/// <param name="ReturnsToStart">The way back to <paramref name="Start"/> counts.</param>
/// <param name="MostTrials">
/// Limit of the trials of improvement, of which there are at most ten per item. A limit on work, not on time, so that the
/// result is the same on every machine.
/// </param>
internal sealed record TravelOptions(bool AllowsReversal, (double X, double Y)? Start = null, bool ReturnsToStart = false, int MostTrials = TravelOptions.DefaultTrials)
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
