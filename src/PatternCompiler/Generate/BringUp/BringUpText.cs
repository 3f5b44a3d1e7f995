using PatternCompiler.Units;

namespace PatternCompiler.Generate.BringUp;

/// <summary>Quantities as a page sets them: with µ and minus sign, number and unit on one line, six digits for what a meter shows.</summary>
internal static class BringUpText
{
    private const int Digits = 6;

    // What sums of doubles leave of nothing.
    private const double NoVolts = 1e-12;

    /// <summary>A voltage.</summary>
    public static string Volts(double volts) => Set(QuantityText.Format(Math.Abs(volts) < NoVolts ? 0 : volts, Dimension.Voltage, Digits));

    /// <summary>A time.</summary>
    public static string Time(double seconds) => Set(QuantityText.Format(seconds, Dimension.Time, Digits));

    /// <summary>A frequency.</summary>
    public static string Hertz(double hertz) => Set(QuantityText.Format(hertz, Dimension.Frequency, Digits));

    /// <summary>A length on the sample.</summary>
    public static string Length(double nanometres) => Set(QuantityText.Format(nanometres * 1e-9, Dimension.Length));

    /// <summary>A current.</summary>
    public static string Current(double amperes) => Set(QuantityText.Format(amperes, Dimension.Current));

    /// <summary>A dose of a line.</summary>
    public static string LineDose(double coulombsPerMetre) => Set(QuantityText.Format(coulombsPerMetre, Dimension.LineDose));

    /// <summary>A capacitance.</summary>
    public static string Farads(double farads) => Set(QuantityText.Format(farads, Dimension.Charge, 3)[..^1] + "F");

    /// <summary>A voltage that changes so much in a second.</summary>
    public static string Slope(double voltsPerSecond) => Volts(voltsPerSecond) + "/s";

    /// <summary>A plain number.</summary>
    public static string Number(double value, int digits = 4) => Set(QuantityText.Format(value, Dimension.Fraction, digits));

    /// <summary>A part as percentage.</summary>
    public static string Percent(double part) => Number(100 * part) + "\u00A0%";

    private static string Set(string text) =>
        text.Replace('-', '\u2212').Replace(" u", " µ", StringComparison.Ordinal).Replace("cm2", "cm²", StringComparison.Ordinal).Replace(' ', '\u00A0');
}
