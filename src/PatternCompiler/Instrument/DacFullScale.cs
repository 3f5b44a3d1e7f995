namespace PatternCompiler.Instrument;

/// <summary>Two customs for what a converter's stated upper voltage means.</summary>
public enum DacFullScale
{
    /// <summary>LSB = span / 2^bits: the highest code stays one LSB below the upper end (the usual custom).</summary>
    OneBeyondLastCode,

    /// <summary>LSB = span / (2^bits − 1): the highest code reaches the upper end.</summary>
    LastCode,
}
