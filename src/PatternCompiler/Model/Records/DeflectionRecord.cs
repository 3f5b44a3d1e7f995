namespace PatternCompiler.Model.Records;

/// <summary>
/// One deflection/blank record. X and Y are codes in natural order: 0 is the lowest voltage of that output, 2^bits − 1
/// the highest, whatever binary coding the DAC wants (back ends apply the coding).
/// </summary>
/// <param name="Kind">What the controller does.</param>
/// <param name="X">Code for the X output.</param>
/// <param name="Y">Code for the Y output.</param>
/// <param name="EndX">Last point of a line; equal to <paramref name="X"/> otherwise.</param>
/// <param name="EndY">Last point of a line; equal to <paramref name="Y"/> otherwise.</param>
/// <param name="Points">Exposed points: 1 or more for a line, 1 for a dot, 0 otherwise.</param>
/// <param name="Ticks">Clock ticks of the whole record (dwell, settle or wait), the longest wait for a trigger, or a marker's number.</param>
/// <remarks>
/// A line's point i (0-based, of n) stands at code <c>X + floor((2·i·(EndX − X) + (n − 1)) / (2·(n − 1)))</c>, the
/// exact position rounded half up, and dwells <c>floor((i + 1)·Ticks/n) − floor(i·Ticks/n)</c> ticks. The beam stays on
/// between exposing records that follow each other directly; it is off before the first record, during jumps, waits (for a
/// trigger, too) and after the last record.
/// </remarks>
internal readonly record struct DeflectionRecord(RecordKind Kind, int X, int Y, int EndX, int EndY, int Points, long Ticks)
{
    /// <summary>A blanked move with its settling time.</summary>
    public static DeflectionRecord Jump(int x, int y, long settleTicks) => new(RecordKind.Jump, x, y, x, y, 0, settleTicks);

    /// <summary>One exposed point.</summary>
    public static DeflectionRecord Dot(int x, int y, long dwellTicks) => new(RecordKind.Dot, x, y, x, y, 1, dwellTicks);

    /// <summary>A run of exposed points.</summary>
    public static DeflectionRecord Line(int x, int y, int endX, int endY, int points, long totalTicks) =>
        new(RecordKind.Line, x, y, endX, endY, points, totalTicks);

    /// <summary>A blanked pause.</summary>
    public static DeflectionRecord Wait(long ticks) => new(RecordKind.Wait, 0, 0, 0, 0, 0, ticks);

    /// <summary>Start of a figure.</summary>
    public static DeflectionRecord Marker(long number) => new(RecordKind.Marker, 0, 0, 0, 0, 0, number);

    /// <summary>A blanked pause until the trigger input's next edge.</summary>
    public static DeflectionRecord Trigger(long longestTicks) => new(RecordKind.Trigger, 0, 0, 0, 0, 0, longestTicks);

    /// <summary>Ticks that the record is known to take: none for a marker, and none for a trigger, whose edge comes when it comes.</summary>
    public long TimedTicks => Kind >= RecordKind.Marker ? 0 : Ticks;
}

/// <summary>What the controller does for one record.</summary>
internal enum RecordKind : byte
{
    /// <summary>Beam off; move to (X, Y); wait <c>Ticks</c> there for the deflection to settle.</summary>
    Jump,

    /// <summary>Move to (X, Y) and stay for <c>Ticks</c> with the beam on.</summary>
    Dot,

    /// <summary>Visit <c>Points</c> points from (X, Y) to (EndX, EndY) with the beam on, <c>Ticks</c> in all.</summary>
    Line,

    /// <summary>Beam off; stay for <c>Ticks</c>.</summary>
    Wait,

    /// <summary>Start of a figure; <c>Ticks</c> is its number. Moves nothing and takes no time.</summary>
    Marker,

    /// <summary>
    /// Beam off; stay until the next edge of the trigger input that comes after the record has begun. None within
    /// <c>Ticks</c> ends the exposure with a fault.
    /// </summary>
    Trigger,
}
