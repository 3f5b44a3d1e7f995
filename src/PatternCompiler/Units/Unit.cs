namespace PatternCompiler.Units;

/// <summary>
/// A unit of measure: one of it is <c>Factor · 10^PowerOfTen</c> of the dimension's base unit (volt, metre, second,
/// hertz, ampere, coulomb, C/m², C/m, electronvolt, byte, byte/s, m/s, degree, 1). Decimal prefixes live in the power
/// alone, so that a conversion between them rounds once.
/// </summary>
/// <param name="Symbol">As printed.</param>
/// <param name="Dimension">What it measures.</param>
/// <param name="PowerOfTen">Decimal part of its size.</param>
/// <param name="Factor">The rest of its size; 1 for decimal units.</param>
internal sealed record Unit(string Symbol, Dimension Dimension, int PowerOfTen, double Factor = 1)
{
    /// <summary>No unit: the number itself.</summary>
    public static Unit One { get; } = new("", Dimension.Fraction, 0);

    /// <summary>V.</summary>
    public static Unit Volt { get; } = new("V", Dimension.Voltage, 0);

    /// <summary>m.</summary>
    public static Unit Metre { get; } = new("m", Dimension.Length, 0);

    /// <summary>nm.</summary>
    public static Unit Nanometre { get; } = new("nm", Dimension.Length, -9);

    /// <summary>pm.</summary>
    public static Unit Picometre { get; } = new("pm", Dimension.Length, -12);

    /// <summary>s.</summary>
    public static Unit Second { get; } = new("s", Dimension.Time, 0);

    /// <summary>Hz.</summary>
    public static Unit Hertz { get; } = new("Hz", Dimension.Frequency, 0);

    /// <summary>A.</summary>
    public static Unit Ampere { get; } = new("A", Dimension.Current, 0);

    /// <summary>C.</summary>
    public static Unit Coulomb { get; } = new("C", Dimension.Charge, 0);

    /// <summary>C/m².</summary>
    public static Unit CoulombPerSquareMetre { get; } = new("C/m2", Dimension.AreaDose, 0);

    /// <summary>C/m.</summary>
    public static Unit CoulombPerMetre { get; } = new("C/m", Dimension.LineDose, 0);

    /// <summary>eV.</summary>
    public static Unit Electronvolt { get; } = new("eV", Dimension.Energy, 0);

    /// <summary>B/s.</summary>
    public static Unit BytePerSecond { get; } = new("B/s", Dimension.DataRate, 0);

    /// <summary>B.</summary>
    public static Unit Byte { get; } = new("B", Dimension.DataSize, 0);

    /// <summary>nm/s.</summary>
    public static Unit NanometrePerSecond { get; } = new("nm/s", Dimension.Speed, -9);

    /// <summary>deg.</summary>
    public static Unit Degree { get; } = new("deg", Dimension.Angle, 0);

    /// <summary>DAC codes.</summary>
    public static Unit Code { get; } = new("codes", Dimension.Codes, 0);

    /// <summary>Clock ticks.</summary>
    public static Unit Tick { get; } = new("ticks", Dimension.Ticks, 0);
}
