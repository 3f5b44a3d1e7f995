namespace PatternCompiler.Model.Strokes;

/// <summary>What the beam does.</summary>
internal enum StrokeKind : byte
{
    /// <summary>Move with the beam off.</summary>
    Jump,

    /// <summary>Expose evenly spaced points from start to end.</summary>
    Line,

    /// <summary>Expose one point.</summary>
    Dot,

    /// <summary>
    /// Move towards a place with the beam off, and go on without settling when three quarters of the way are covered. Leads
    /// the beam around what it must not touch.
    /// </summary>
    Pass,
}
