namespace PatternCompiler.Passes.Fields;

/// <summary>What happens where a figure goes on from one write field to the next.</summary>
public enum SeamKind
{
    /// <summary>The parts meet edge to edge.</summary>
    Butt,

    /// <summary>A strip about the seam is written in both fields at the full dose, so that a gap cannot open.</summary>
    Overlap,

    /// <summary>
    /// A strip about the seam is written in both fields, with doses that rise in one as they fall in the other and add up
    /// to the full dose everywhere.
    /// </summary>
    Taper,
}
