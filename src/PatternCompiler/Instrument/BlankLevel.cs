namespace PatternCompiler.Instrument;

/// <summary>Level of the blank line with the beam off. The numbers are those of the exposure stream's header.</summary>
public enum BlankLevel : byte
{
    /// <summary>A document from before levels were stated.</summary>
    NotStated,

    /// <summary>The line is high to turn the beam off.</summary>
    High,

    /// <summary>The line is low to turn the beam off.</summary>
    Low,

    /// <summary>The machine has no blanker: the beam can never be turned off.</summary>
    NoBlanker,
}
