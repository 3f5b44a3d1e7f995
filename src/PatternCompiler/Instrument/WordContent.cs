namespace PatternCompiler.Instrument;

/// <summary>What a field of a bare word carries.</summary>
public enum WordContent
{
    /// <summary>Code for the X output, in the converter's coding; two's complement is extended to the field's width.</summary>
    X,

    /// <summary>Code for the Y output, likewise.</summary>
    Y,

    /// <summary>Clock ticks that the point lasts.</summary>
    Dwell,

    /// <summary>The blank line: every bit has the level that the machine's blanker needs.</summary>
    Blank,

    /// <summary>The upper bits of the X code, for the coarse converter of a composite output; coded like a converter of its own.</summary>
    XCoarse,

    /// <summary>The lower bits of the X code, for the fine converter.</summary>
    XFine,

    /// <summary>The upper bits of the Y code, for the coarse converter.</summary>
    YCoarse,

    /// <summary>The lower bits of the Y code, for the fine converter.</summary>
    YFine,

    /// <summary>
    /// Scan-enable line: all ones from the first to the last point, then all zeros in one more point with the beam off.
    /// </summary>
    Scan,

    /// <summary>Bits that are always zero.</summary>
    Zero,
}
