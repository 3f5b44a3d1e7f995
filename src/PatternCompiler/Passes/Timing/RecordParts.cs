using PatternCompiler.Model.Records;

namespace PatternCompiler.Passes.Timing;

/// <summary>Parts of the points of a dot or line.</summary>
internal static class RecordParts
{
    /// <summary>Ticks of the last points.</summary>
    public static long TicksOfLast(in DeflectionRecord record, int points) =>
        record.Ticks - (long)((Int128)(record.Points - points) * record.Ticks / record.Points);

    /// <summary>All but the last points.</summary>
    public static DeflectionRecord WithoutLast(in DeflectionRecord record, int points)
    {
        int kept = record.Points - points;
        LinePoint end = LinePoints.At(record, kept - 1);
        return Run(record.X, record.Y, end.X, end.Y, kept, record.Ticks - TicksOfLast(record, points));
    }

    /// <summary>All but the first point.</summary>
    public static DeflectionRecord WithoutFirst(in DeflectionRecord record)
    {
        LinePoint first = LinePoints.At(record, 0);
        LinePoint second = LinePoints.At(record, 1);
        return Run(second.X, second.Y, record.EndX, record.EndY, record.Points - 1, record.Ticks - first.Ticks);
    }

    private static DeflectionRecord Run(int x, int y, int endX, int endY, int points, long ticks) => points == 1
        ? DeflectionRecord.Dot(x, y, ticks)
        : DeflectionRecord.Line(x, y, endX, endY, points, ticks);
}
