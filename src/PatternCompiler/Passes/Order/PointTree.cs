namespace PatternCompiler.Passes.Order;

/// <summary>
/// A k-d tree over some endpoints: finds the nearest ones however unevenly they are spread. The tree is implicit: the
/// middle of each range of the sorted array divides the range across its longer side.
/// </summary>
internal sealed class PointTree
{
    private const int LeafSize = 8;

    private readonly Endpoints endpoints;
    private readonly int[] points;
    private readonly bool[] dividesX;

    public PointTree(Endpoints endpoints, ReadOnlySpan<int> members)
    {
        this.endpoints = endpoints;
        points = members.ToArray();
        dividesX = new bool[points.Length];
        Build(0, points.Length);
    }

    /// <summary>Finds the nearest endpoints that belong to another group, nearest first, ties by number.</summary>
    /// <param name="endpoint">From where.</param>
    /// <param name="group">Group of each endpoint.</param>
    /// <param name="found">Room for the result.</param>
    /// <returns>How many there are.</returns>
    public int Nearest(int endpoint, ReadOnlySpan<int> group, Span<int> found)
    {
        Span<double> distances = stackalloc double[found.Length];
        var search = new Search(this, endpoint, group, found, distances);
        search.Visit(0, points.Length);
        return search.Count;
    }

    private void Build(int start, int end)
    {
        while (end - start > LeafSize)
        {
            (double left, double right, double bottom, double top) =
                (double.PositiveInfinity, double.NegativeInfinity, double.PositiveInfinity, double.NegativeInfinity);
            for (int i = start; i < end; i++)
            {
                (left, right) = (Math.Min(left, endpoints.X(points[i])), Math.Max(right, endpoints.X(points[i])));
                (bottom, top) = (Math.Min(bottom, endpoints.Y(points[i])), Math.Max(top, endpoints.Y(points[i])));
            }

            int middle = (start + end) / 2;
            dividesX[middle] = right - left >= top - bottom;
            Select(start, end, middle, dividesX[middle]);
            Build(start, middle);
            start = middle + 1;
        }
    }

    /// <summary>Quickselect: afterwards nothing before the middle is larger and nothing after it is smaller.</summary>
    private void Select(int start, int end, int middle, bool byX)
    {
        int low = start;
        int high = end - 1;
        while (low < high)
        {
            int pivot = points[(low + high) / 2];
            int i = low;
            int j = high;
            while (i <= j)
            {
                while (IsBefore(points[i], pivot, byX))
                {
                    i++;
                }

                while (IsBefore(pivot, points[j], byX))
                {
                    j--;
                }

                if (i <= j)
                {
                    (points[i], points[j]) = (points[j], points[i]);
                    i++;
                    j--;
                }
            }

            if (middle <= j)
            {
                high = j;
            }
            else if (middle >= i)
            {
                low = i;
            }
            else
            {
                return;
            }
        }
    }

    private bool IsBefore(int a, int b, bool byX)
    {
        double first = byX ? endpoints.X(a) : endpoints.Y(a);
        double second = byX ? endpoints.X(b) : endpoints.Y(b);
        return first < second || (first == second && a < b);
    }

    private ref struct Search(PointTree tree, int endpoint, ReadOnlySpan<int> group, Span<int> found, Span<double> distances)
    {
        private readonly ReadOnlySpan<int> group = group;
        private readonly Span<int> found = found;
        private readonly Span<double> distances = distances;

        public int Count { get; private set; }

        public void Visit(int start, int end)
        {
            if (end - start <= LeafSize)
            {
                for (int i = start; i < end; i++)
                {
                    Consider(tree.points[i]);
                }

                return;
            }

            int middle = (start + end) / 2;
            int divider = tree.points[middle];
            double offset = tree.dividesX[middle]
                ? tree.endpoints.X(endpoint) - tree.endpoints.X(divider)
                : tree.endpoints.Y(endpoint) - tree.endpoints.Y(divider);
            Consider(divider);
            if (offset < 0)
            {
                Visit(start, middle);
            }
            else
            {
                Visit(middle + 1, end);
            }

            if (Count == found.Length && Math.Abs(offset) >= distances[Count - 1])
            {
                return;
            }

            if (offset < 0)
            {
                Visit(middle + 1, end);
            }
            else
            {
                Visit(start, middle);
            }
        }

        private void Consider(int other)
        {
            if (group[other] == group[endpoint])
            {
                return;
            }

            double distance = tree.endpoints.Distance(endpoint, other);
            int at = Count;
            while (at > 0 && (distances[at - 1] > distance || (distances[at - 1] == distance && found[at - 1] > other)))
            {
                at--;
            }

            if (at == found.Length)
            {
                return;
            }

            Count = Math.Min(Count + 1, found.Length);
            for (int i = Count - 1; i > at; i--)
            {
                (found[i], distances[i]) = (found[i - 1], distances[i - 1]);
            }

            (found[at], distances[at]) = (other, distance);
        }
    }
}
