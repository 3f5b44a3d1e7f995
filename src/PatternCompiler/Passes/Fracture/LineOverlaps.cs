using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Fracture;

/// <summary>
/// Takes out of lines without width what runs along other lines of the same layer and dose factor, so that no place gets the
/// line dose twice. Of two lines the one drawn first stays whole. Lines that cross, or touch in a point, are left alone.
/// </summary>
/// <remarks>
/// Lines lie on one straight line if they agree in its direction, reduced to smallest terms, and in its distance from the
/// origin, dx·y − dy·x. All ends are grid points on it, so that cutting at them rounds nothing.
/// </remarks>
internal sealed class LineOverlaps
{
    private readonly List<(GridPoint From, GridPoint To)> lines = [];

    /// <summary>Number of lines that were cut or left out.</summary>
    public long Count { get; private set; }

    /// <summary>Length that is written once instead of several times, in grid steps.</summary>
    public double Length { get; private set; }

    /// <summary>The first piece that was taken out.</summary>
    public (GridPoint From, GridPoint To) First { get; private set; }

    /// <summary>Adds a line, in drawing order.</summary>
    public void Add(GridPoint from, GridPoint to) => lines.Add((from, to));

    /// <summary>What is left to write, in drawing order.</summary>
    public IEnumerable<(GridPoint From, GridPoint To)> Merge()
    {
        Span<Course> courses = new Course[lines.Count];
        for (int i = 0; i < lines.Count; i++)
        {
            courses[i] = Course.Of(lines[i].From, lines[i].To, i);
        }

        courses.Sort();
        var pieces = new Dictionary<int, List<(int Low, int High)>>();
        for (int start = 0, end; start < courses.Length; start = end)
        {
            int reach = courses[start].High;
            for (end = start + 1; end < courses.Length && courses[end].IsAlong(courses[start]) && courses[end].Low < reach; end++)
            {
                reach = Math.Max(reach, courses[end].High);
            }

            if (end > start + 1)
            {
                Cut(courses[start..end], pieces);
            }
        }

        return pieces.Count == 0 ? lines : Pieces(courses.ToArray(), pieces);
    }

    // Lines that hang together: each end divides the stretch that they cover; every part goes to the line drawn first.
    private void Cut(Span<Course> along, Dictionary<int, List<(int Low, int High)>> pieces)
    {
        along.Sort(static (a, b) => a.Index.CompareTo(b.Index));
        int[] ends = new int[2 * along.Length];
        for (int i = 0; i < along.Length; i++)
        {
            (ends[2 * i], ends[(2 * i) + 1]) = (along[i].Low, along[i].High);
        }

        Array.Sort(ends);
        int[] nextFree = [.. Enumerable.Range(0, ends.Length)];
        foreach (Course course in along)
        {
            List<(int Low, int High)> left = Take(ends, nextFree, course);
            if (left is not [var only] || only != (course.Low, course.High))
            {
                pieces.Add(course.Index, left);
                Note(course, left);
            }
        }
    }

    private static List<(int Low, int High)> Take(int[] ends, int[] nextFree, in Course course)
    {
        var left = new List<(int Low, int High)>();
        int end = Array.BinarySearch(ends, course.High);
        for (int part = Free(nextFree, Array.BinarySearch(ends, course.Low)); part < end && ends[part] < course.High; part = Free(nextFree, part))
        {
            if (ends[part] < ends[part + 1])
            {
                bool goesOn = left.Count > 0 && left[^1].High == ends[part];
                left.Add((goesOn ? left[^1].Low : ends[part], ends[part + 1]));
                if (goesOn)
                {
                    left.RemoveAt(left.Count - 2);
                }
            }

            nextFree[part] = part + 1;
        }

        return left;
    }

    // The first part from here on that no line has taken yet.
    private static int Free(int[] nextFree, int part)
    {
        while (nextFree[part] != part)
        {
            nextFree[part] = nextFree[nextFree[part]];
            part = nextFree[part];
        }

        return part;
    }

    private void Note(in Course course, List<(int Low, int High)> left)
    {
        (GridPoint from, GridPoint to) = lines[course.Index];
        double whole = Math.Sqrt((((double)to.X - from.X) * ((double)to.X - from.X)) + (((double)to.Y - from.Y) * ((double)to.Y - from.Y)));
        double kept = left.Sum(piece => (double)piece.High - piece.Low) / ((double)course.High - course.Low);
        if (Count++ == 0)
        {
            // Where the first piece that is left begins or ends, what was taken out begins or ends.
            int low = left.Count == 0 || left[0].Low > course.Low ? course.Low : left[0].High;
            int high = left.Count == 0 || left[0].Low == course.Low ? (left.Count > 1 ? left[1].Low : course.High) : left[0].Low;
            First = (course.At(low, from), course.At(high, from));
        }

        Length += whole * (1 - kept);
    }

    private IEnumerable<(GridPoint From, GridPoint To)> Pieces(Course[] courses, Dictionary<int, List<(int Low, int High)>> pieces)
    {
        Array.Sort(courses, static (a, b) => a.Index.CompareTo(b.Index));
        foreach (Course course in courses)
        {
            (GridPoint from, GridPoint to) = lines[course.Index];
            if (!pieces.TryGetValue(course.Index, out List<(int Low, int High)>? left))
            {
                yield return (from, to);
                continue;
            }

            // In the direction in which the line was drawn.
            bool isForward = course.Place(from) == course.Low;
            for (int i = 0; i < left.Count; i++)
            {
                (int low, int high) = left[isForward ? i : left.Count - 1 - i];
                yield return isForward ? (course.At(low, from), course.At(high, from)) : (course.At(high, from), course.At(low, from));
            }
        }
    }

    /// <summary>A line as a stretch of the straight line it lies on.</summary>
    private readonly record struct Course(int StepX, int StepY, long Offset, int Low, int High, int Index) : IComparable<Course>
    {
        public static Course Of(GridPoint from, GridPoint to, int index)
        {
            long dx = (long)to.X - from.X;
            long dy = (long)to.Y - from.Y;
            long divisor = GreatestCommonDivisor(Math.Abs(dx), Math.Abs(dy));
            divisor = divisor == 0 ? 1 : divisor;
            divisor = dx < 0 || (dx == 0 && dy < 0) ? -divisor : divisor;
            (int stepX, int stepY) = ((int)(dx / divisor), (int)(dy / divisor));
            var course = new Course(stepX, stepY, ((long)stepX * from.Y) - ((long)stepY * from.X), 0, 0, index);
            (int a, int b) = (course.Place(from), course.Place(to));
            return course with { Low = Math.Min(a, b), High = Math.Max(a, b) };
        }

        public bool IsAlong(in Course other) => StepX == other.StepX && StepY == other.StepY && Offset == other.Offset;

        public int Place(GridPoint point) => StepX != 0 ? point.X : point.Y;

        public GridPoint At(int place, GridPoint known) => StepX != 0
            ? new(place, (int)(known.Y + (((long)place - known.X) / StepX * StepY)))
            : new(known.X, place);

        public int CompareTo(Course other)
        {
            int order = StepX.CompareTo(other.StepX);
            order = order != 0 ? order : StepY.CompareTo(other.StepY);
            order = order != 0 ? order : Offset.CompareTo(other.Offset);
            order = order != 0 ? order : Low.CompareTo(other.Low);
            return order != 0 ? order : Index.CompareTo(other.Index);
        }

        private static long GreatestCommonDivisor(long a, long b)
        {
            while (b != 0)
            {
                (a, b) = (b, a % b);
            }

            return a;
        }
    }
}
