using System.Buffers;
using System.Numerics;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace PatternCompiler.Passes.Order;

/// <summary>
/// A k-d tree over some endpoints: finds the nearest ones however unevenly they are spread. The tree is implicit: the
/// middle of each range of the sorted array divides the range across its longer side. Points near each other lie near
/// each other in memory. Its memory is borrowed: many trees follow each other.
/// </summary>
internal sealed class PointTree : IDisposable
{
    private const int LeafSize = 8;

    private readonly Node[] nodes;
    private readonly double[] x;
    private readonly double[] y;
    private readonly bool[] dividesX;

    /// <param name="endpoints">All endpoints.</param>
    /// <param name="members">Those in the tree.</param>
    /// <param name="group">Group of each endpoint.</param>
    public PointTree(Endpoints endpoints, ReadOnlySpan<int> members, ReadOnlySpan<int> group)
    {
        Count = members.Length;
        nodes = ArrayPool<Node>.Shared.Rent(Count);
        for (int i = 0; i < Count; i++)
        {
            int endpoint = members[i];
            nodes[i] = new(endpoints.X(endpoint), endpoints.Y(endpoint), endpoint, group[endpoint]);
        }

        dividesX = new bool[Count];
        Build(0, Count);
        x = ArrayPool<double>.Shared.Rent(Count);
        y = ArrayPool<double>.Shared.Rent(Count);
        for (int i = 0; i < Count; i++)
        {
            (x[i], y[i]) = (nodes[i].X, nodes[i].Y);
        }
    }

    /// <summary>Number of endpoints.</summary>
    public int Count { get; }

    /// <summary>The endpoint at a place in the tree.</summary>
    public int EndpointAt(int place) => nodes[place].Endpoint;

    /// <summary>Finds the nearest endpoints that belong to another group, nearest first, ties by number.</summary>
    /// <param name="place">Place in the tree of the endpoint from which to look.</param>
    /// <param name="found">Room for the result.</param>
    /// <returns>How many there are.</returns>
    public int Nearest(int place, Span<int> found)
    {
        Span<double> squares = stackalloc double[found.Length];
        var search = new Search(nodes, x, y, dividesX, nodes[place], found, squares);
        search.Visit(0, Count, 0, 0);
        return search.Count;
    }

    /// <summary>Gives the memory back; the tree is of no use any more.</summary>
    public void Dispose()
    {
        ArrayPool<Node>.Shared.Return(nodes);
        ArrayPool<double>.Shared.Return(x);
        ArrayPool<double>.Shared.Return(y);
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

    private ref struct Search(Node[] nodes, double[] x, double[] y, bool[] dividesX, Node from, Span<int> found, Span<double> squares)
    {
        private readonly Span<int> found = found;
        private readonly Span<double> squares = squares;
        private double farthest = double.PositiveInfinity;

        public int Count { get; private set; }

        /// <summary>Looks at a range of the tree, whose area lies so far away in x and y at least.</summary>
        public void Visit(int start, int end, double awayX, double awayY)
        {
            if (end - start <= LeafSize)
            {
                ConsiderAll(start, end);
                return;
            }

            int middle = (start + end) / 2;
            ref readonly Node divider = ref nodes[middle];
            bool byX = dividesX[middle];
            double offset = byX ? from.X - divider.X : from.Y - divider.Y;
            Consider(divider);
            if (offset < 0)
            {
                Visit(start, middle, awayX, awayY);
            }
            else
            {
                Visit(middle + 1, end, awayX, awayY);
            }

            (awayX, awayY) = byX ? (offset, awayY) : (awayX, offset);
            if (offset * offset >= farthest || (awayX * awayX) + (awayY * awayY) > farthest)
            {
                return;
            }

            if (offset < 0)
            {
                Visit(middle + 1, end, awayX, awayY);
            }
            else
            {
                Visit(start, middle, awayX, awayY);
            }
        }

        /// <summary>Most places of a leaf are too far away: four are looked at at once.</summary>
        private void ConsiderAll(int start, int end)
        {
            ReadOnlySpan<Vector256<double>> besideX = MemoryMarshal.Cast<double, Vector256<double>>(x.AsSpan(start, end - start));
            ReadOnlySpan<Vector256<double>> besideY = MemoryMarshal.Cast<double, Vector256<double>>(y.AsSpan(start, end - start));
            for (int i = 0; i < besideX.Length; i++)
            {
                Vector256<double> dx = besideX[i] - Vector256.Create(from.X);
                Vector256<double> dy = besideY[i] - Vector256.Create(from.Y);
                uint near = Vector256.LessThanOrEqual((dx * dx) + (dy * dy), Vector256.Create(farthest)).ExtractMostSignificantBits();
                for (; near != 0; near &= near - 1)
                {
                    Consider(nodes[start + (i * Vector256<double>.Count) + BitOperations.TrailingZeroCount(near)]);
                }
            }

            for (int place = start + (besideX.Length * Vector256<double>.Count); place < end; place++)
            {
                Consider(nodes[place]);
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
