namespace PatternCompiler.VirtualLab.Streams;

/// <summary>Kinds of records, numbered as on the stream's page.</summary>
public enum RecordKind
{
    Jump = 1,
    Dot = 2,
    Line = 3,
    Wait = 4,
    Marker = 5,

    /// <summary>Waits for an edge of the trigger, at most its ticks.</summary>
    Trigger = 6,
}

/// <summary>One record; codes in natural order, 0 the lowest.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="X">Code of x, or of the first point of a line.</param>
/// <param name="Y">Code of y.</param>
/// <param name="EndX">Code of x of a line's last point.</param>
/// <param name="EndY">Code of y of it.</param>
/// <param name="Ticks">Ticks of a jump, dot or wait; of each point of a line; a marker's figure.</param>
/// <param name="Points">Points of a line.</param>
/// <param name="LongerPoints">Points of a line that last one tick more.</param>
public readonly record struct StreamRecord(RecordKind Kind, int X, int Y, int EndX, int EndY, long Ticks, long Points, long LongerPoints)
{
    /// <summary>Ticks from start to end.</summary>
    public long TotalTicks => Kind switch
    {
        RecordKind.Line => (Points * Ticks) + LongerPoints,
        RecordKind.Marker or RecordKind.Trigger => 0,
        _ => Ticks,
    };

    /// <summary>Points that are exposed.</summary>
    public long ExposedPoints => Kind switch { RecordKind.Dot => 1, RecordKind.Line => Points, _ => 0 };
}
