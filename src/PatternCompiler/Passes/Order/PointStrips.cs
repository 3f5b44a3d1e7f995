using System.Buffers;

namespace PatternCompiler.Passes.Order;

/// <summary>
/// Some endpoints in upright strips of equally many, sorted upwards in each: finds the nearest ones however unevenly they are
/// spread. What lies near a point lies near it in its strip and the strips beside, and in memory. The memory is
/// borrowed: many of these follow each other.
/// </summary>
internal sealed class PointStrips : IDisposable
{
    // So wide that two evenly spread points stand side by side: a search for ten or so looks at little more than these.
    private const double PointsAcross = 2;
    private const int FewestPerStrip = 8;

    private readonly Point[] points;
    private readonly double[] heights;
    private readonly int perStrip;
    private readonly (double Left, double Right)[] sides;

    /// <param name="endpoints">All endpoints.</param>
    /// <param name="members">Those in the strips.</param>
    /// <param name="group">Group of each endpoint.</param>
    public PointStrips(Endpoints endpoints, ReadOnlySpan<int> members, ReadOnlySpan<int> group)
    {
        Count = members.Length;
        points = ArrayPool<Point>.Shared.Rent(Count);
        heights = ArrayPool<double>.Shared.Rent(Count);
        (double low, double high) = (double.PositiveInfinity, double.NegativeInfinity);
        for (int i = 0; i < Count; i++)
        {
            int endpoint = members[i];
            points[i] = new(endpoints.X(endpoint), endpoints.Y(endpoint), endpoint, group[endpoint]);
            heights[i] = points[i].X;
            (low, high) = (Math.Min(low, points[i].Y), Math.Max(high, points[i].Y));
        }

        heights.AsSpan(0, Count).Sort(points.AsSpan(0, Count));
        double width = Count == 0 ? 0 : points[Count - 1].X - points[0].X;
        double even = width == 0 ? Count : Math.Sqrt(PointsAcross * Count * (high - low) / width);
        perStrip = (int)Math.Max(FewestPerStrip, Math.Min(Count, even));
        sides = new (double, double)[(Count + perStrip - 1) / perStrip];
        for (int strip = 0; strip < sides.Length; strip++)
        {
            (int first, int end) = RangeOf(strip);
            sides[strip] = (points[first].X, points[end - 1].X);
            for (int i = first; i < end; i++)
            {
                heights[i] = points[i].Y;
            }

            heights.AsSpan(first, end - first).Sort(points.AsSpan(first, end - first));
        }
    }

    /// <summary>Number of endpoints.</summary>
    public int Count { get; }

    /// <summary>The endpoint at a place in the strips.</summary>
    public int EndpointAt(int place) => points[place].Endpoint;

    /// <summary>
    /// Finds the nearest endpoints that belong to another group, nearest first, ties by number. Where more than are asked for lie in
    /// the very same place, it takes those beside it in its strip: the lowest would be the neighbours of all of them, and no others.
    /// </summary>
    /// <param name="place">Place in the strips of the endpoint from which to look.</param>
    /// <param name="found">Room for the result.</param>
    /// <returns>How many there are.</returns>
    public int Nearest(int place, Span<int> found)
    {
        Span<double> squares = stackalloc double[found.Length];
        var search = new Search(this, points[place], found, squares);
        int own = place / perStrip;
        (int left, int right) = (own - 1, own + 1);
        search.Visit(own, place, 0);
        while (true)
        {
            double toLeft = left >= 0 ? points[place].X - sides[left].Right : double.PositiveInfinity;
            double toRight = right < sides.Length ? sides[right].Left - points[place].X : double.PositiveInfinity;
            if (!search.Reaches(Math.Min(toLeft, toRight)))
            {
                return search.Count;
            }

            int strip = toLeft <= toRight ? left-- : right++;
            (int first, int end) = RangeOf(strip);
            int at = heights.AsSpan(first, end - first).BinarySearch(points[place].Y);
            search.Visit(strip, first + (at < 0 ? ~at : at), Math.Min(toLeft, toRight));
        }
    }

    /// <summary>Gives the memory back; the strips are of no use any more.</summary>
    public void Dispose()
    {
        ArrayPool<Point>.Shared.Return(points);
        ArrayPool<double>.Shared.Return(heights);
    }

    private (int First, int End) RangeOf(int strip) => (strip * perStrip, Math.Min(Count, (strip + 1) * perStrip));

    private readonly record struct Point(double X, double Y, int Endpoint, int Group);

    private ref struct Search(PointStrips strips, Point from, Span<int> found, Span<double> squares)
    {
        private readonly Span<int> found = found;
        private readonly Span<double> squares = squares;
        private double farthest = double.PositiveInfinity;

        public int Count { get; private set; }

        /// <summary>True if something so far away could be among the nearest.</summary>
        public readonly bool Reaches(double distance) => distance < double.PositiveInfinity && farthest > 0 && distance * distance <= farthest;

        /// <summary>Looks at a strip that lies so far beside, from a place in it upwards and downwards, the nearer next.</summary>
        public void Visit(int strip, int at, double beside)
        {
            (int first, int end) = strips.RangeOf(strip);
            (int low, int high) = (at - 1, at);
            while (true)
            {
                double below = low >= first ? from.Y - strips.heights[low] : double.PositiveInfinity;
                double above = high < end ? strips.heights[high] - from.Y : double.PositiveInfinity;
                double away = Math.Min(below, above);
                if (away == double.PositiveInfinity || farthest == 0 || away * away + beside * beside > farthest)
                {
                    return;
                }

                Consider(strips.points[below <= above ? low-- : high++]);
            }
        }

        private void Consider(in Point other)
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
