namespace PatternCompiler.Passes.Order;

/// <summary>
/// How long the travel of some items is at least, whatever their order: each link is at least as long as the mean of what its two ends
/// need to reach their nearest other item; an item that starts and ends at one place needs two different neighbours. Open ends need
/// none: the first and the last item are linked to the start, not to each other.
/// </summary>
/// <param name="Sum">What all ends need.</param>
/// <param name="Largest">The most that one end needs.</param>
/// <param name="Second">The most that another one needs.</param>
internal readonly record struct TravelBound(double Sum, double Largest, double Second)
{
    /// <summary>No order travels less.</summary>
    public double Length => Math.Max(0, (Sum - Largest - Second) / 2);

    /// <summary>The bound of all items.</summary>
    /// <param name="endpoints">Their ends.</param>
    /// <param name="near">The nearest ends of others for each.</param>
    /// <param name="elsewhere">Where all other items lie, if these are a tile, the nearest first.</param>
    public static TravelBound Of(Endpoints endpoints, NeighbourTable near, ReadOnlySpan<OtherTile> elsewhere)
    {
        var bound = default(TravelBound);
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

            bound = bound.With(Within(toEntry, entry, endpoints, elsewhere)).With(Within(toExit, entry + 1, endpoints, elsewhere));
        }

        return bound;
    }

    /// <summary>The bound of two sets of items together.</summary>
    public TravelBound With(in TravelBound other)
    {
        TravelBound both = With(other.Largest).With(other.Second);
        return both with { Sum = Sum + other.Sum };
    }

    /// <summary>A distance, or that to another tile if this is less: something may lie there.</summary>
    private static double Within(double distance, int endpoint, Endpoints endpoints, ReadOnlySpan<OtherTile> elsewhere)
    {
        foreach (ref readonly OtherTile other in elsewhere)
        {
            if (other.Gap >= distance)
            {
                break;
            }

            distance = Math.Min(distance, other.Box.DistanceTo(endpoints.X(endpoint), endpoints.Y(endpoint)));
        }

        return distance;
    }

    private TravelBound With(double distance) => distance > Largest
        ? new(Sum + distance, distance, Largest)
        : new(Sum + distance, Largest, Math.Max(Second, distance));
}
