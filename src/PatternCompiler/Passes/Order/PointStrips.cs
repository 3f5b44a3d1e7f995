using System.Buffers;
using System.Runtime.CompilerServices;
using PatternCompiler.Geometry;

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
        double[] sortedBy = ArrayPool<double>.Shared.Rent(Count);
        int[] fromLeft = ArrayPool<int>.Shared.Rent(Count);
        (double low, double high) = (double.PositiveInfinity, double.NegativeInfinity);
        for (int i = 0; i < Count; i++)
        {
            (sortedBy[i], fromLeft[i]) = (endpoints.X(members[i]), members[i]);
            (low, high) = (Math.Min(low, endpoints.Y(members[i])), Math.Max(high, endpoints.Y(members[i])));
        }

        NumberSort.Sort(sortedBy.AsSpan(0, Count), fromLeft.AsSpan(0, Count));
        double width = Count == 0 ? 0 : sortedBy[Count - 1] - sortedBy[0];
        double even = width == 0 ? Count : Math.Sqrt(PointsAcross * Count * (high - low) / width);
        perStrip = (int)Math.Max(FewestPerStrip, Math.Min(Count, even));
        sides = new (double, double)[(Count + perStrip - 1) / perStrip];
        int[] free = new int[sides.Length];
        for (int strip = 0; strip < sides.Length; strip++)
        {
            (free[strip], int end) = RangeOf(strip);
            sides[strip] = (sortedBy[free[strip]], sortedBy[end - 1]);
        }

        // All are sorted upwards at once, and each then goes on top of its strip.
        int[] upwards = ArrayPool<int>.Shared.Rent(Count);
        for (int i = 0; i < Count; i++)
        {
            (sortedBy[i], upwards[i]) = (endpoints.Y(fromLeft[i]), i);
        }

        NumberSort.Sort(sortedBy.AsSpan(0, Count), upwards.AsSpan(0, Count));
        for (int i = 0; i < Count; i++)
        {
            int endpoint = fromLeft[upwards[i]];
            int place = free[upwards[i] / perStrip]++;
            (points[place], heights[place]) = (new(endpoints.X(endpoint), endpoint, group[endpoint]), sortedBy[i]);
        }

        ArrayPool<double>.Shared.Return(sortedBy);
        ArrayPool<int>.Shared.Return(fromLeft);
        ArrayPool<int>.Shared.Return(upwards);
    }

    /// <summary>Number of endpoints.</summary>
    public int Count { get; }

    /// <summary>The endpoint at a place in the strips.</summary>
    public int EndpointAt(int place) => points[place].Endpoint;

    /// <summary>Gives the memory back; the strips are of no use any more.</summary>
    public void Dispose()
    {
        ArrayPool<Point>.Shared.Return(points);
        ArrayPool<double>.Shared.Return(heights);
    }

    /// <summary>The first place from one on whose height is not below another, or the end: in ever longer steps, for it is near.</summary>
    private int PlaceOf(double height, int from, int end)
    {
        int low = from;
        int high = from;
        for (int step = 1; high < end && heights[high] < height; step *= 2)
        {
            (low, high) = (high + 1, high + step);
        }

        high = Math.Min(high, end);
        while (low < high)
        {
            int middle = (low + high) / 2;
            (low, high) = heights[middle] < height ? (middle + 1, high) : (low, middle);
        }

        return low;
    }

    private (int First, int End) RangeOf(int strip) => (strip * perStrip, Math.Min(Count, (strip + 1) * perStrip));

    private readonly record struct Point(double X, int Endpoint, int Group);

    /// <summary>Finds the nearest endpoints of one after the other, upwards in a strip: where they stand in the strips beside moves upwards too.</summary>
    public ref struct Finder
    {
        private const int StripsBeside = 4;

        private readonly PointStrips strips;

        // In the strips up to so many to the left and right, beside the last place asked for.
        private Places beside;
        private int own = -1;

        /// <param name="strips">Where to look.</param>
        public Finder(PointStrips strips) => this.strips = strips;

        /// <summary>
        /// Finds the nearest endpoints that belong to another group, nearest first, ties by number. Where more than are asked for lie in
        /// the very same place, it takes those beside it in its strip: the lowest would be the neighbours of all of them, and no others.
        /// </summary>
        /// <param name="place">Place in the strips of the endpoint from which to look.</param>
        /// <param name="found">Room for the result.</param>
        /// <returns>How many there are.</returns>
        public int Nearest(int place, Span<int> found)
        {
            if (place / strips.perStrip != own)
            {
                own = place / strips.perStrip;
                ((Span<int>)beside).Clear();
            }

            Span<double> squares = stackalloc double[found.Length];
            var search = new Search(strips, place, found, squares);
            double x = strips.points[place].X;
            (int left, int right) = (own - 1, own + 1);
            search.Visit(own, place, 0);
            while (true)
            {
                double toLeft = left >= 0 ? x - strips.sides[left].Right : double.PositiveInfinity;
                double toRight = right < strips.sides.Length ? strips.sides[right].Left - x : double.PositiveInfinity;
                if (!search.Reaches(Math.Min(toLeft, toRight)))
                {
                    return search.Count;
                }

                int strip = toLeft <= toRight ? left-- : right++;
                search.Visit(strip, PlaceIn(strip, strips.heights[place]), Math.Min(toLeft, toRight));
            }
        }

        /// <summary>Place of the first endpoint of a strip that is not below a height, or the end of the strip.</summary>
        private int PlaceIn(int strip, double height)
        {
            (int first, int end) = strips.RangeOf(strip);
            int far = strip - own + StripsBeside;
            if ((uint)far >= 2 * StripsBeside + 1)
            {
                return strips.PlaceOf(height, first, end);
            }

            return beside[far] = strips.PlaceOf(height, Math.Max(first, beside[far]), end);
        }

        [InlineArray(2 * StripsBeside + 1)]
        private struct Places
        {
            private int first;
        }
    }

    private ref struct Search(PointStrips strips, int place, Span<int> found, Span<double> squares)
    {
        private readonly Span<int> found = found;
        private readonly Span<double> squares = squares;
        private readonly Point from = strips.points[place];
        private readonly double height = strips.heights[place];
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
                double below = low >= first ? height - strips.heights[low] : double.PositiveInfinity;
                double above = high < end ? strips.heights[high] - height : double.PositiveInfinity;
                double away = Math.Min(below, above);
                if (away == double.PositiveInfinity || farthest == 0 || away * away + beside * beside > farthest)
                {
                    return;
                }

                Consider(strips.points[below <= above ? low-- : high++], away);
            }
        }

        private void Consider(in Point other, double away)
        {
            double dx = other.X - from.X;
            double square = dx * dx + away * away;
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
