namespace PatternCompiler.Passes.Order;

/// <summary>
/// A k-d tree over some endpoints: finds the nearest ones however unevenly they are spread. The tree is implicit: the
/// middle of each range of the sorted array divides the range across its longer side. Points near each other lie near
/// each other in memory.
/// </summary>
internal sealed class PointTree
{
    private const int LeafSize = 8;

    private readonly Node[] nodes;
    private readonly bool[] dividesX;

    /// <param name="endpoints">All endpoints.</param>
    /// <param name="members">Those in the tree.</param>
    /// <param name="group">Group of each endpoint.</param>
    public PointTree(Endpoints endpoints, ReadOnlySpan<int> members, ReadOnlySpan<int> group)
    {
        nodes = new Node[members.Length];
        for (int i = 0; i < nodes.Length; i++)
        {
            int endpoint = members[i];
            nodes[i] = new(endpoints.X(endpoint), endpoints.Y(endpoint), endpoint, group[endpoint]);
        }

        dividesX = new bool[nodes.Length];
        Build(0, nodes.Length);
    }

    /// <summary>Number of endpoints.</summary>
    public int Count => nodes.Length;

    /// <summary>The endpoint at a place in the tree.</summary>
    public int EndpointAt(int place) => nodes[place].Endpoint;

    /// <summary>Finds the nearest endpoints that belong to another group, nearest first, ties by number.</summary>
    /// <param name="place">Place in the tree of the endpoint from which to look.</param>
    /// <param name="found">Room for the result.</param>
    /// <returns>How many there are.</returns>
    public int Nearest(int place, Span<int> found)
    {
        Span<double> squares = stackalloc double[found.Length];
        var search = new Search(nodes, dividesX, nodes[place], found, squares);
        search.Visit(0, nodes.Length);
        return search.Count;
    }

    private void Build(int start, int end)
    {
        while (end - start > LeafSize)
        {
            (double left, double right, double bottom, double top) =
                (double.PositiveInfinity, double.NegativeInfinity, double.PositiveInfinity, double.NegativeInfinity);
            foreach (ref readonly Node node in nodes.AsSpan(start, end - start))
            {
                (left, right) = (Math.Min(left, node.X), Math.Max(right, node.X));
                (bottom, top) = (Math.Min(bottom, node.Y), Math.Max(top, node.Y));
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
            Node pivot = nodes[(low + high) / 2];
            int i = low;
            int j = high;
            while (i <= j)
            {
                while (nodes[i].IsBefore(pivot, byX))
                {
                    i++;
                }

                while (pivot.IsBefore(nodes[j], byX))
                {
                    j--;
                }

                if (i <= j)
                {
                    (nodes[i], nodes[j]) = (nodes[j], nodes[i]);
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

    private readonly record struct Node(double X, double Y, int Endpoint, int Group)
    {
        public bool IsBefore(in Node other, bool byX)
        {
            double mine = byX ? X : Y;
            double theirs = byX ? other.X : other.Y;
            return mine < theirs || (mine == theirs && Endpoint < other.Endpoint);
        }
    }

    private ref struct Search(Node[] nodes, bool[] dividesX, Node from, Span<int> found, Span<double> squares)
    {
        private readonly Span<int> found = found;
        private readonly Span<double> squares = squares;
        private double farthest = double.PositiveInfinity;

        public int Count { get; private set; }

        public void Visit(int start, int end)
        {
            if (end - start <= LeafSize)
            {
                foreach (ref readonly Node node in nodes.AsSpan(start, end - start))
                {
                    Consider(node);
                }

                return;
            }

            int middle = (start + end) / 2;
            ref readonly Node divider = ref nodes[middle];
            double offset = dividesX[middle] ? from.X - divider.X : from.Y - divider.Y;
            Consider(divider);
            if (offset < 0)
            {
                Visit(start, middle);
            }
            else
            {
                Visit(middle + 1, end);
            }

            if (offset * offset >= farthest)
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

        private void Consider(in Node other)
        {
            double dx = other.X - from.X;
            double dy = other.Y - from.Y;
            double square = dx * dx + dy * dy;
            if (square > farthest || other.Group == from.Group)
            {
                return;
            }

            int at = Count;
            while (at > 0 && (squares[at - 1] > square || (squares[at - 1] == square && found[at - 1] > other.Endpoint)))
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
                (found[i], squares[i]) = (found[i - 1], squares[i - 1]);
            }

            (found[at], squares[at]) = (other.Endpoint, square);
            farthest = Count == found.Length ? squares[Count - 1] : double.PositiveInfinity;
        }
    }
}
