using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Waveforms;

/// <summary>The lines that a scope can be put on.</summary>
internal enum TraceLine
{
    /// <summary>The X output.</summary>
    X,

    /// <summary>The Y output.</summary>
    Y,

    /// <summary>The blank line.</summary>
    Blank,

    /// <summary>Scan-enable.</summary>
    ScanEnable,
}

/// <summary>A measured trace, less its delay, gain and offset.</summary>
/// <param name="Line">What was measured.</param>
/// <param name="Facts">What was found by comparing it, in a few words.</param>
/// <param name="Pieces">Its course from second to second of the exposure: volts of an output, 0 and 1 of a level.</param>
internal sealed record PlacedTrace(TraceLine Line, string Facts, ImmutableArray<(double From, double To, Envelope Course)> Pieces);
