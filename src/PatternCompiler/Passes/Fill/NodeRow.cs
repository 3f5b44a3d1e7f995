namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Weights of the points of one row on a lattice: single ones at both ends and, in a wide row, many equal ones between.
/// A weight of 1 is a regular point.
/// </summary>
internal sealed class NodeRow
{
    /// <summary>Shorter inner runs are kept as single points, so that the ends have room to exchange dose.</summary>
    private const int ShortestInnerRun = 6;

    private readonly List<double> head = [];
    private readonly List<double> tail = [];
    private long first;
    private long innerCount;
    private double innerWeight;
    private int innerStride;

    /// <summary>Starts an empty row at a node.</summary>
    public void Begin(long firstNode)
    {
        head.Clear();
        tail.Clear();
        first = firstNode;
        innerCount = 0;
    }

    /// <summary>Appends one point.</summary>
    public void Add(double weight) => (innerCount > 0 ? tail : head).Add(weight);

    /// <summary>Appends equal points; at most once a row as a run, the rest as single points.</summary>
    public void AddRun(long count, double weight)
    {
        if (count < ShortestInnerRun || innerCount > 0)
        {
            for (long i = 0; i < count; i++)
            {
                Add(weight);
            }

            return;
        }

        head.Add(weight);
        head.Add(weight);
        (innerCount, innerWeight, innerStride) = (count - 4, weight, 1);
        tail.Add(weight);
        tail.Add(weight);
    }

    /// <summary>
    /// Gives the dose of points below <paramref name="smallest"/> to their neighbours further in: twice the dose to the
    /// next, as much taken from the one after, which keeps charge and centroid; where that would make a new small point,
    /// all of it to the next.
    /// </summary>
    /// <returns>What is left if no point is large enough; it is then no longer part of the row.</returns>
    public double FoldSmall(double smallest)
    {
        if (smallest <= 0)
        {
            return 0;
        }

        int middle = tail.Count > 0 ? head.Count : head.Count / 2;
        for (int i = 0; i < middle; i++)
        {
            Fold(head, i, 1, smallest);
        }

        List<double> end = tail.Count > 0 ? tail : head;
        int stop = tail.Count > 0 ? 0 : middle;
        for (int i = end.Count - 1; i >= stop; i--)
        {
            Fold(end, i, -1, smallest);
        }

        return Sweep(smallest);
    }

    /// <summary>
    /// If the equal points in the middle are below a weight, only every n-th of them stays and stands for its neighbours
    /// on both sides.
    /// </summary>
    public void ThinOut(double smallest)
    {
        if (innerCount == 0 || innerWeight >= smallest)
        {
            return;
        }

        // An odd stride keeps the centroid: as many neighbours on either side.
        double wanted = smallest / innerWeight;
        long stride = wanted < innerCount ? (long)Math.Ceiling(wanted) | 1 : innerCount + 1;
        long kept = innerCount / stride;
        for (long i = kept * stride; i < innerCount; i++)
        {
            tail.Insert(0, innerWeight);
        }

        (innerCount, innerWeight, innerStride) = (kept, innerWeight * stride, (int)stride);
    }

    /// <summary>Adds dose to the first point of the row; false if it has none.</summary>
    public bool TryAdd(double weight)
    {
        foreach (List<double> weights in (ReadOnlySpan<List<double>>)[head, tail])
        {
            int index = weights.FindIndex(w => w > 0);
            if (index >= 0)
            {
                weights[index] += weight;
                return true;
            }
        }

        return false;
    }

    /// <summary>Adds the points to a list of runs; neighbours of equal weight make one run.</summary>
    /// <param name="cuts">Where to add.</param>
    /// <param name="v">Position of the row.</param>
    /// <param name="nodes">Positions of the points.</param>
    /// <param name="pointCharge">Charge of a regular point.</param>
    public void AppendTo(CutList cuts, long v, PointGrid nodes, double pointCharge)
    {
        long start = first;
        long count = 0;
        double weight = 0;
        foreach (double next in head)
        {
            Extend(1, next);
        }

        if (innerStride > 1 && innerCount > 0)
        {
            Close();
            long middle = start + innerStride / 2;
            cuts.Add(v, nodes.PositionOf(middle), nodes.PositionOf(middle + (innerCount - 1) * innerStride), checked((int)innerCount), innerCount * innerWeight * pointCharge);
            start += innerCount * innerStride;
        }
        else
        {
            Extend(innerCount, innerWeight);
        }

        foreach (double next in tail)
        {
            Extend(1, next);
        }

        Close();

        void Extend(long more, double next)
        {
            // Equal weights of neighbours differ by rounding only.
            if (more > 0 && Math.Abs(next - weight) > 1e-9)
            {
                Close();
                weight = next;
            }

            count += more;
        }

        void Close()
        {
            if (count > 0 && weight > 0)
            {
                cuts.Add(v, nodes.PositionOf(start), nodes.PositionOf(start + count - 1), checked((int)count), count * weight * pointCharge);
            }

            start += count;
            count = 0;
        }
    }

    private static void Fold(List<double> weights, int index, int inward, double smallest)
    {
        double weight = weights[index];
        int next = index + inward;
        int after = next + inward;
        if (weight >= smallest || weight == 0 || next < 0 || next >= weights.Count)
        {
            return;
        }

        weights[index] = 0;
        if (after >= 0 && after < weights.Count && weights[after] - weight >= smallest)
        {
            weights[next] += 2 * weight;
            weights[after] -= weight;
        }
        else
        {
            weights[next] += weight;
        }
    }

    /// <summary>Gathers small points, from the head to the tail, into the next one that is or becomes large enough.</summary>
    private double Sweep(double smallest)
    {
        double carried = 0;
        foreach (List<double> weights in (ReadOnlySpan<List<double>>)[head, tail])
        {
            for (int i = 0; i < weights.Count; i++)
            {
                double sum = weights[i] + carried;
                (weights[i], carried) = sum >= smallest && sum > 0 ? (sum, 0.0) : (0.0, sum);
            }
        }

        if (carried == 0)
        {
            return 0;
        }

        foreach (List<double> weights in (ReadOnlySpan<List<double>>)[tail, head])
        {
            int last = weights.FindLastIndex(w => w > 0);
            if (last >= 0)
            {
                weights[last] += carried;
                return 0;
            }
        }

        if (innerCount > 0)
        {
            innerWeight += carried / innerCount;
            return 0;
        }

        return carried;
    }
}
