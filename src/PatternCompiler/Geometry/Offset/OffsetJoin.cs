namespace PatternCompiler.Geometry.Offset;

/// <summary>Shape of the new outline about a corner that it turns around on the outside.</summary>
public enum OffsetJoin
{
    /// <summary>The edges are prolonged until they meet; a corner too sharp for the limit is joined square.</summary>
    Mitre,

    /// <summary>An arc about the corner.</summary>
    Round,

    /// <summary>Cut across at the full distance from the corner, square to the corner's bisector.</summary>
    Square,
}
