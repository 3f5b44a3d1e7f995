using System.Buffers;

namespace PatternCompiler.Passes.Order;

/// <summary>The nearest endpoints of other items for each endpoint, nearest first (ties by number).</summary>
/// <remarks>Its memory is borrowed: many tables follow each other.</remarks>
internal sealed class NeighbourTable : IDisposable
{
    private const int PlacesAtOnce = 1024;

    // Only members have a row of neighbours: towards the end of a tour they are few, and their rows long.
    private readonly int[] neighbours;
    private readonly int[] rows;
    private readonly int[] counts;
    private readonly int width;

    private NeighbourTable(int[] neighbours, int[] rows, int[] counts, int width)
    {
        this.neighbours = neighbours;
        this.rows = rows;
        this.counts = counts;
        this.width = width;
    }

    /// <summary>Neighbours of an endpoint; none if it is no member.</summary>
    public ReadOnlySpan<int> this[int endpoint] => neighbours.AsSpan(rows[endpoint] * width, counts[endpoint]);

    /// <summary>Gives the memory back; the table is of no use any more.</summary>
    public void Dispose() => ArrayPool<int>.Shared.Return(neighbours);

    /// <summary>Finds neighbours among some endpoints.</summary>
    /// <param name="endpoints">All endpoints.</param>
    /// <param name="members">The endpoints to connect.</param>
    /// <param name="group">Endpoints of one group are not neighbours of each other; indexed by endpoint.</param>
    /// <param name="width">Neighbours per endpoint, at most.</param>
    public static NeighbourTable Find(Endpoints endpoints, ReadOnlySpan<int> members, ReadOnlySpan<int> group, int width)
    {
        int[] neighbours = ArrayPool<int>.Shared.Rent(checked(members.Length * width));
        var rows = new int[endpoints.Count];
        var counts = new int[endpoints.Count];
        using var strips = new PointStrips(endpoints, members, group);
        for (int place = 0; place < strips.Count; place++)
        {
            rows[strips.EndpointAt(place)] = place;
        }

        int chunks = (strips.Count + PlacesAtOnce - 1) / PlacesAtOnce;
        Parallel.For(0, chunks, chunk =>
        {
            int last = Math.Min(strips.Count, (chunk + 1) * PlacesAtOnce);
            var finder = new PointStrips.Finder(strips);
            for (int place = chunk * PlacesAtOnce; place < last; place++)
            {
                int endpoint = strips.EndpointAt(place);
                counts[endpoint] = finder.Nearest(place, neighbours.AsSpan(place * width, width));
            }
        });

        return new NeighbourTable(neighbours, rows, counts, width);
    }
}
