using System.Buffers;
using System.Numerics;
using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Order;

/// <summary>
/// Builds a first order: the shortest links between free endpoints first, as long as no ring closes; what is left in
/// pieces is linked in further rounds.
/// </summary>
internal static class GreedyTour
{
    private const int LinksPerEndpoint = 8;
    private const int FewPieces = 24;
    private const int EndBits = 32;

    /// <summary>The first endpoints of the items in order, the start item first.</summary>
    /// <param name="endpoints">All endpoints.</param>
    /// <param name="neighbours">The nearest endpoints of other items.</param>
    /// <param name="allowsReversal">Items may be written backwards.</param>
    /// <param name="cancellation">Stops the work.</param>
    public static int[] Build(Endpoints endpoints, NeighbourTable neighbours, bool allowsReversal, CancellationToken cancellation)
    {
        int items = endpoints.ItemCount - 1;
        int[] partner = new int[2 * items];
        Array.Fill(partner, -1);
        var pieces = new Pieces(items);
        int[] members = [.. Enumerable.Range(0, 2 * items)];
        while (pieces.Count > 1)
        {
            cancellation.ThrowIfCancellationRequested();

            // In the first round every item is a piece of its own.
            int before = pieces.Count;
            if (before == items && before > FewPieces)
            {
                LinkShortest(endpoints, members, neighbours, allowsReversal, partner, pieces);
            }
            else
            {
                using NeighbourTable near = FindNear(endpoints, members, pieces);
                LinkShortest(endpoints, members, near, allowsReversal, partner, pieces);
            }

            if (pieces.Count == before)
            {
                LinkInTurn(partner, pieces);
            }

            members = Array.FindAll(members, e => partner[e] < 0);
        }

        return Walk(endpoints, partner, allowsReversal);
    }

    private static NeighbourTable FindNear(Endpoints endpoints, int[] members, Pieces pieces)
    {
        var groupOf = new int[endpoints.Count];
        foreach (int member in members)
        {
            groupOf[member] = pieces.Find(member >> 1);
        }

        // Near the end every piece sees all others, so that the last round always links something.
        return NeighbourTable.Find(endpoints, members, groupOf, pieces.Count <= FewPieces ? 4 * FewPieces : LinksPerEndpoint);
    }

    /// <summary>Links free ends, the shortest links first, as long as no ring closes.</summary>
    private static void LinkShortest(
        Endpoints endpoints, int[] members, NeighbourTable near, bool allowsReversal, int[] partner, Pieces pieces)
    {
        int most = 0;
        foreach (int a in members)
        {
            most += near[a].Length;
        }

        ulong[] links = ArrayPool<ulong>.Shared.Rent(most);
        int count = 0;
        foreach (int a in members)
        {
            foreach (int b in near[a])
            {
                // Without reversal an exit is linked to an entry only.
                if ((allowsReversal || ((a ^ b) & 1) == 1) && (a < b || !near[b].Contains(a)))
                {
                    links[count++] = (ulong)Math.Min(a, b) << EndBits | (uint)Math.Max(a, b);
                }
            }
        }

        SortByLength(endpoints, links.AsSpan(0, count));
        foreach (ulong link in links.AsSpan(0, count))
        {
            (int a, int b) = EndsOf(link);
            if (partner[a] < 0 && partner[b] < 0 && pieces.TryJoin(a >> 1, b >> 1))
            {
                (partner[a], partner[b]) = (b, a);
            }
        }

        ArrayPool<ulong>.Shared.Return(links);
    }

    /// <summary>Shorter links first, of one length by the numbers of their ends.</summary>
    private static void SortByLength(Endpoints endpoints, Span<ulong> links)
    {
        double[] lengths = ArrayPool<double>.Shared.Rent(links.Length);
        ulong[] scratch = ArrayPool<ulong>.Shared.Rent(links.Length);
        int bits = BitOperations.Log2((uint)endpoints.Count) + 1;
        PackedSort.Sort(links, scratch, 0, bits);
        PackedSort.Sort(links, scratch, EndBits, EndBits + bits);
        for (int i = 0; i < links.Length; i++)
        {
            (int a, int b) = EndsOf(links[i]);
            lengths[i] = endpoints.Distance(a, b);
        }

        NumberSort.Sort(lengths.AsSpan(0, links.Length), links);
        ArrayPool<double>.Shared.Return(lengths);
        ArrayPool<ulong>.Shared.Return(scratch);
    }

    private static (int A, int B) EndsOf(ulong link) => ((int)(link >> EndBits), (int)link);

    /// <summary>Exits see only other exits (no reversal, entries far away): link pieces in their order.</summary>
    private static void LinkInTurn(int[] partner, Pieces pieces)
    {
        int[] entries = [.. Enumerable.Range(0, partner.Length).Where(e => partner[e] < 0 && (e & 1) == 0)];
        int[] exits = [.. Enumerable.Range(0, partner.Length).Where(e => partner[e] < 0 && (e & 1) == 1)];
        foreach (int exit in exits)
        {
            int entry = Array.Find(entries, e => partner[e] < 0 && pieces.Find(e >> 1) != pieces.Find(exit >> 1));
            if (partner[entry] < 0 && pieces.TryJoin(exit >> 1, entry >> 1))
            {
                (partner[exit], partner[entry]) = (entry, exit);
                return;
            }
        }
    }

    private static int[] Walk(Endpoints endpoints, int[] partner, bool allowsReversal)
    {
        int start = 2 * endpoints.StartItem;
        var order = new List<int>(endpoints.ItemCount) { start + 1 };
        int[] ends = [.. Enumerable.Range(0, partner.Length).Where(e => partner[e] < 0)];

        // Enter at the end from which start and end are nearer, or, without reversal, at the one that is an entry.
        int first = allowsReversal
            ? ends.MinBy(e => endpoints.Distance(start, e) + endpoints.Distance(start + 1, ends[0] + ends[^1] - e))
            : ends.First(e => (e & 1) == 0);
        for (int at = first; at >= 0; at = partner[at ^ 1])
        {
            order.Add(at);
        }

        return [.. order];
    }

    /// <summary>Which items are linked already.</summary>
    private sealed class Pieces(int count)
    {
        private readonly int[] parent = [.. Enumerable.Range(0, count)];

        public int Count { get; private set; } = count;

        public int Find(int item)
        {
            while (parent[item] != item)
            {
                parent[item] = parent[parent[item]];
                item = parent[item];
            }

            return item;
        }

        public bool TryJoin(int a, int b)
        {
            (a, b) = (Find(a), Find(b));
            if (a == b)
            {
                return false;
            }

            parent[Math.Max(a, b)] = Math.Min(a, b);
            Count--;
            return true;
        }
    }
}
