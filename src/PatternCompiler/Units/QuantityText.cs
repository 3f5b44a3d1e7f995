using System.Globalization;

namespace PatternCompiler.Units;

/// <summary>Prints measured values for people, with a fitting prefix and few digits.</summary>
internal static class QuantityText
{
    /// <summary>
    /// A value in the dimension's base unit as text, e.g. 2.5e-6 s as "2.5 us"; doses always in uC/cm2 and pC/cm, as the
    /// field gives them.
    /// </summary>
    /// <param name="baseValue">The value in the base unit (see <see cref="Unit"/>).</param>
    /// <param name="dimension">What it measures.</param>
    /// <param name="digits">Significant digits, 1 to 15.</param>
    public static string Format(double baseValue, Dimension dimension, int digits = 4) => dimension switch
    {
        Dimension.AreaDose => $"{Round(baseValue * 100, digits)} uC/cm2",
        Dimension.LineDose => $"{Round(baseValue * 1e10, digits)} pC/cm",
        Dimension.Fraction => Round(baseValue, digits),
        Dimension.Angle => $"{Round(baseValue, digits)} deg",
        Dimension.Codes => Counted(Round(baseValue, digits), "code"),
        Dimension.Ticks => Counted(Round(baseValue, digits), "tick"),
        Dimension.Length when baseValue == 0 => "0 nm",
        Dimension.Time when Math.Abs(baseValue) >= 60 => Clock(baseValue),
        _ => WithPrefix(baseValue, digits, SymbolOf(dimension), LowestPower(dimension)),
    };

    private static string Counted(string number, string one) => number == "1" ? $"1 {one}" : $"{number} {one}s";

    /// <summary>Nobody in the field says picometre, or thousandth of a byte.</summary>
    private static int LowestPower(Dimension dimension) => dimension switch
    {
        Dimension.DataSize or Dimension.DataRate or Dimension.Energy => 0,
        Dimension.Length => -9,
        _ => -15,
    };

    private static string SymbolOf(Dimension dimension) => dimension switch
    {
        Dimension.Voltage => "V",
        Dimension.Length => "m",
        Dimension.Time => "s",
        Dimension.Frequency => "Hz",
        Dimension.Current => "A",
        Dimension.Charge => "C",
        Dimension.Energy => "eV",
        Dimension.DataRate => "B/s",
        Dimension.DataSize => "B",
        Dimension.Speed => "m/s",
        _ => throw new ArgumentOutOfRangeException(nameof(dimension)),
    };

    private static string WithPrefix(double value, int digits, string symbol, int lowest)
    {
        const string Prefixes = "fpnum kMGT";
        double magnitude = Math.Abs(value);
        int power = lowest;
        while (power < 12 && RoundedReaches(magnitude, power + 3, digits))
        {
            power += 3;
        }

        power = magnitude == 0 ? 0 : power;
        double scaled = power >= 0 ? value / Math.Pow(10, power) : value * Math.Pow(10, -power);
        char prefix = Prefixes[(power + 15) / 3];
        return prefix == ' ' ? $"{Round(scaled, digits)} {symbol}" : $"{Round(scaled, digits)} {prefix}{symbol}";
    }

    /// <summary>True if the value, rounded as it will be printed, is one of the larger unit or more: 999.99 nm are 1 um.</summary>
    private static bool RoundedReaches(double magnitude, int power, int digits) =>
        magnitude * Math.Pow(10, -power) >= 1 - 0.5 * Math.Pow(10, -digits);

    private static string Clock(double seconds)
    {
        long whole = (long)Math.Round(Math.Abs(seconds), MidpointRounding.AwayFromZero);
        string sign = seconds < 0 ? "-" : "";
        return whole < 3600
            ? string.Create(CultureInfo.InvariantCulture, $"{sign}{whole / 60} min {whole % 60:00} s")
            : string.Create(CultureInfo.InvariantCulture, $"{sign}{whole / 3600} h {whole / 60 % 60:00} min");
    }

    private static string Round(double value, int digits)
    {
        if (value == 0)
        {
            return "0";
        }

        int decimals = digits - 1 - (int)Math.Floor(Math.Log10(Math.Abs(value)));
        return decimals >= 0
            ? Math.Round(value, Math.Min(decimals, 15)).ToString("0.###############", CultureInfo.InvariantCulture)
            : Math.Round(value).ToString("0", CultureInfo.InvariantCulture);
    }
}
