namespace PatternCompiler.Model.Records;

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
}
