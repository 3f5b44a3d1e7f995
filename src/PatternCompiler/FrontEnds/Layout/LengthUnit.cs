namespace PatternCompiler.FrontEnds.Layout;

/// <summary>The units of length that the text layout knows, each a whole number of picometres.</summary>
internal static class LengthUnit
{
    /// <summary>All names, smallest first, for messages.</summary>
    public const string Names = "pm, nm, um, mm, cm, m, mil or in";

    /// <summary>Size of a unit in picometres; false if the word is no unit of length. <c>µm</c> is <c>um</c>.</summary>
    public static bool TryFind(ReadOnlySpan<byte> word, out long picometres)
    {
        picometres = word switch
        {
            _ when word.SequenceEqual("um"u8) => 1_000_000,
            _ when word.SequenceEqual("nm"u8) => 1_000,
            _ when word.SequenceEqual("mm"u8) => 1_000_000_000,
            _ when word.SequenceEqual("pm"u8) => 1,
            _ when word.SequenceEqual("\u00B5m"u8) || word.SequenceEqual("\u03BCm"u8) => 1_000_000,
            _ when word.SequenceEqual("cm"u8) => 10_000_000_000,
            _ when word.SequenceEqual("m"u8) => 1_000_000_000_000,
            _ when word.SequenceEqual("mil"u8) => 25_400_000,
            _ when word.SequenceEqual("in"u8) => 25_400_000_000,
            _ => 0,
        };
        return picometres > 0;
    }
}
