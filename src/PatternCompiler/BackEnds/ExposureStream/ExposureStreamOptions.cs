using PatternCompiler.Instrument;

namespace PatternCompiler.BackEnds.ExposureStream;

/// <summary>How a stream is laid out.</summary>
/// <param name="Profile">Which records it may hold.</param>
/// <param name="WordBytes">Bytes of a word: 2, 3 or 4, and at least the converter's bits.</param>
internal sealed record ExposureStreamOptions(StreamProfile Profile, int WordBytes)
{
    private const int BitsPerByte = 8;

    /// <summary>Records may wait for the trigger input.</summary>
    public bool WaitsForTrigger { get; init; }

    /// <summary>The narrowest words that a converter's codes fit.</summary>
    public static ExposureStreamOptions For(Dac dac, StreamProfile profile) =>
        new(profile, dac.Bits <= 2 * BitsPerByte ? 2 : 3);
}

/// <summary>Which records a stream may hold.</summary>
internal enum StreamProfile : byte
{
    /// <summary>Jumps, dots, waits and markers: every line is written out point by point.</summary>
    Points = 0,

    /// <summary>Lines too: the controller interpolates them.</summary>
    Lines = 1,
}
