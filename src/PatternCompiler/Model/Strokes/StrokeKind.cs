namespace PatternCompiler.Model.Strokes;

/// <summary>What the beam does.</summary>
public enum StrokeKind : byte
{
    /// <summary>Move with the beam off.</summary>
    Jump,

    /// <summary>Expose evenly spaced points from start to end.</summary>
    Line,

    /// <summary>Expose one point.</summary>
    Dot,
}
