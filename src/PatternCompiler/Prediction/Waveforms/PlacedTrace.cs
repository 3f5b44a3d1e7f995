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

/// <summary>A measured trace in the exposure's time.</summary>
/// <param name="Line">What was measured.</param>
/// <param name="Facts">What was found by comparing it, in a few words.</param>
/// <param name="Pieces">Its course in volts, from second to second of the exposure.</param>
internal sealed record PlacedTrace(TraceLine Line, string Facts, ImmutableArray<(double From, double To, Envelope Course)> Pieces);
