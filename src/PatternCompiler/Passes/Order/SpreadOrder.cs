namespace PatternCompiler.Passes.Order;

/// <summary>
/// An order in which what follows in time lies far apart in space: each place is the one that feels least of those before it, which count by
/// the inverse square of their distance, and less and less the longer ago they were. Of many places, squares of the area take turns, each
/// in such an order of its own.
/// </summary>
internal static class SpreadOrder
{
    private const int Side = 16;
    private const int MostAtOnce = Side * Side;

    // What is left of a place's weight at the next one: a fourth is forgotten, so that some ten are remembered.
    private const double Remembered = 0.75;

    // Places closer than a thousandth of the area are the same.
    private const double SamePlace = 1e-6;

    /// <summary>Orders places; the first stays the first.</summary>
    /// <param name="places">The places.</param>
    /// <param name="cancellation">Ends the work early.</param>
    /// <returns>Their numbers.</returns>
    public static int[] Find(IReadOnlyList<(double X, double Y)> places, CancellationToken cancellation) =>
        Order(places, [.. Enumerable.Range(0, places.Count)], cancellation);

    private static int[] Order(IReadOnlyList<(double X, double Y)> places, int[] members, CancellationToken cancellation)
    {
        cancellation.ThrowIfCancellationRequested();
        if (members.Length <= 2)
        {
            return members;
        }

        double left = members.Min(i => places[i].X), width = members.Max(i => places[i].X) - left;
        double bottom = members.Min(i => places[i].Y), height = members.Max(i => places[i].Y) - bottom;
        double extent = Math.Max(width, height);
        if (!(extent > 0))
        {
            return members;
        }

        if (members.Length <= MostAtOnce)
        {
            return FarApart(places, members, extent * extent);
        }

        int[][] squares = [.. members.GroupBy(i => (Cell(places[i].Y - bottom), Cell(places[i].X - left))).Select(square => Order(places, [.. square], cancellation))];
        int[] turns = FarApart(places, [.. squares.Select(square => square[0])], extent * extent);
        Dictionary<int, int[]> squareOf = squares.ToDictionary(square => square[0]);
        var order = new List<int>(members.Length);
        List<int[]> waiting = [.. turns.Select(first => squareOf[first])];
        for (int turn = 0; waiting.Count > 0; turn++)
        {
            order.AddRange(waiting.Select(square => square[turn]));
            waiting.RemoveAll(square => square.Length == turn + 1);
        }

        return [.. order];

        int Cell(double along) => Math.Min(Side - 1, (int)(along / extent * Side));
    }

    private static int[] FarApart(IReadOnlyList<(double X, double Y)> places, int[] members, double area)
    {
        int[] order = [.. members];
        var felt = new double[order.Length];
        for (int next = 0; next + 1 < order.Length; next++)
        {
            (double x, double y) = places[order[next]];
            int least = next + 1;
            for (int i = next + 1; i < order.Length; i++)
            {
                (double byX, double byY) = (places[order[i]].X - x, places[order[i]].Y - y);
                felt[i] = (felt[i] * Remembered) + (area / ((byX * byX) + (byY * byY) + (area * SamePlace)));
                least = felt[i] < felt[least] ? i : least;
            }

            // Those between keep their order, so that of equal ones the first comes first.
            (int chosen, double weight) = (order[least], felt[least]);
            Array.Copy(order, next + 1, order, next + 2, least - next - 1);
            Array.Copy(felt, next + 1, felt, next + 2, least - next - 1);
            (order[next + 1], felt[next + 1]) = (chosen, weight);
        }

        return order;
    }
}
