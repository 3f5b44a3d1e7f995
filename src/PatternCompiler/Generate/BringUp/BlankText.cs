using System.Globalization;
using PatternCompiler.Instrument;

namespace PatternCompiler.Generate.BringUp;

/// <summary>What the blank line and the converters' words are, in words.</summary>
internal static class BlankText
{
    /// <summary>A step that leaves the beam off.</summary>
    public static string Off(Blanker blanker, string why) => blanker.Level switch
    {
        BlankLevel.High => $"The blank line stays high, the beam off, throughout. {why}",
        BlankLevel.Low => $"The blank line stays low, the beam off, throughout. {why}",
        _ => $"This machine has no blanker: only the microscope turns the beam off. {why}",
    };

    /// <summary>A step that turns the beam on.</summary>
    public static string Moves(Blanker blanker, string why) => blanker.Level switch
    {
        BlankLevel.High => $"The blank line moves: low is beam on, high is beam off. {why}",
        BlankLevel.Low => $"The blank line moves: high is beam on, low is beam off. {why}",
        _ => $"This machine has no blanker: the beam is on throughout. {why}",
    };

    /// <summary>The level with the beam off.</summary>
    public static string OffLevel(Blanker blanker) => blanker.ActiveHigh ? "high" : "low";

    /// <summary>The level with the beam on.</summary>
    public static string OnLevel(Blanker blanker) => blanker.ActiveHigh ? "low" : "high";

    /// <summary>A code as the converter takes it.</summary>
    public static string Word(Dac dac, int code) => string.Create(CultureInfo.InvariantCulture, $"{(code ^ dac.CodingMask).ToString($"X{(dac.Bits + 3) / 4}", CultureInfo.InvariantCulture)} hex");
}
