using System.Globalization;

namespace PatternCompiler.Model.Layout;

/// <summary>Prints lengths on the grid exactly, as decimals without trailing zeros.</summary>
internal static class LengthText
{
    /// <summary>A number of grid steps in micrometres, e.g. "-12.5".</summary>
    public static string Micrometres(long steps, long gridPicometres) =>
        ((decimal)steps * gridPicometres / 1_000_000m).ToString("0.######", CultureInfo.InvariantCulture);

    /// <summary>A length in nanometres with the unit, e.g. "0.1 nm".</summary>
    public static string Nanometres(long picometres) =>
        (picometres / 1_000m).ToString("0.###", CultureInfo.InvariantCulture) + " nm";
}
