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
