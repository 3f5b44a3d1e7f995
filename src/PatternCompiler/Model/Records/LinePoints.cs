namespace PatternCompiler.Model.Records;

/// <summary>
/// The points of a line record: the one place that says where point i of a line stands and how long it dwells (see the
/// remarks of <see cref="DeflectionRecord"/>). A dot counts as a line of one point.
/// </summary>
internal static class LinePoints
{
    /// <summary>Code and dwell of one point.</summary>
    /// <param name="record">A line or dot record.</param>
    /// <param name="index">Which point, 0 to <c>record.Points − 1</c>.</param>
    public static LinePoint At(in DeflectionRecord record, int index)
    {
        ThrowIfOutside(record, index, 1);
        return new(
            CodeAt(record.X, record.EndX, record.Points, index),
            CodeAt(record.Y, record.EndY, record.Points, index),
            (long)(((Int128)index + 1) * record.Ticks / record.Points - (Int128)index * record.Ticks / record.Points));
    }

    /// <summary>Shortest dwell of any point of the record.</summary>
    public static long ShortestDwell(in DeflectionRecord record) => record.Ticks / record.Points;

    /// <summary>Longest dwell of any point of the record.</summary>
    public static long LongestDwell(in DeflectionRecord record) => (record.Ticks + record.Points - 1) / record.Points;

    /// <summary>
    /// Writes consecutive points of a record: <paramref name="firstPoint"/> and as many as the destination takes. Long
    /// lines can so be expanded piece by piece in a buffer of fixed size.
    /// </summary>
    /// <param name="record">A line or dot record.</param>
    /// <param name="firstPoint">Index of the first point to write.</param>
    /// <param name="destination">Where to write.</param>
    /// <returns>Number of points written: the smaller of the destination's length and the points that are left.</returns>
    public static int Expand(in DeflectionRecord record, int firstPoint, Span<LinePoint> destination)
    {
        ThrowIfOutside(record, firstPoint, 0);
        int count = Math.Min(destination.Length, record.Points - firstPoint);
        if (count == 0)
        {
            return 0;
        }

        var walk = new LineWalk(record, firstPoint);
        foreach (ref LinePoint point in destination[..count])
        {
            point = walk.Next();
        }

        return count;
    }

    private static int CodeAt(int start, int end, int points, int index)
    {
        if (points == 1)
        {
            return start;
        }

        long steps = points - 1;
        return start + (int)LineWalk.FloorDivide(2L * index * (end - start) + steps, 2 * steps, out _);
    }

    private static void ThrowIfOutside(in DeflectionRecord record, int index, int margin)
    {
        if ((uint)index > (uint)(record.Points - margin))
        {
            throw new ArgumentOutOfRangeException(nameof(index), index, $"The record has {record.Points} points.");
        }
    }
}
