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

    /// <summary>Beam off.</summary>
    Blank,

    /// <summary>Bits that are always zero.</summary>
    Zero,
}
