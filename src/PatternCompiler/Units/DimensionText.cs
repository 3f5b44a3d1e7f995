namespace PatternCompiler.Units;

/// <summary>How messages speak of a dimension.</summary>
internal static class DimensionText
{
    /// <summary>With its article, e.g. "a length".</summary>
    public static string NameOf(Dimension dimension) => dimension switch
    {
        Dimension.Fraction => "a plain number or a percentage",
        Dimension.Voltage => "a voltage",
        Dimension.Length => "a length",
        Dimension.Time => "a time",
        Dimension.Frequency => "a frequency",
        Dimension.Current => "a current",
        Dimension.Charge => "a charge",
        Dimension.AreaDose => "an area dose",
        Dimension.LineDose => "a line dose",
        Dimension.Energy => "a beam energy",
        Dimension.DataRate => "a data rate",
        Dimension.DataSize => "a data size",
        Dimension.Speed => "a speed",
        Dimension.Angle => "an angle",
        Dimension.Codes => "a number of codes",
        Dimension.Ticks => "a number of ticks",
        _ => throw new ArgumentOutOfRangeException(nameof(dimension)),
    };

    /// <summary>A quantity of that dimension as a user would write it.</summary>
    public static string ExampleOf(Dimension dimension) => dimension switch
    {
        Dimension.Fraction => "0.02 or 2 %",
        Dimension.Voltage => "10 V",
        Dimension.Length => "20 nm",
        Dimension.Time => "2.5 us",
        Dimension.Frequency => "10 MHz",
        Dimension.Current => "30 pA",
        Dimension.Charge => "1 fC",
        Dimension.AreaDose => "250 uC/cm2",
        Dimension.LineDose => "400 pC/cm",
        Dimension.Energy => "30 keV",
        Dimension.DataRate => "1 MB/s",
        Dimension.DataSize => "64 KiB",
        Dimension.Speed => "50 um/us",
        Dimension.Angle => "45 deg",
        Dimension.Codes => "3 codes",
        Dimension.Ticks => "4 ticks",
        _ => throw new ArgumentOutOfRangeException(nameof(dimension)),
    };

    /// <summary>Joins several choices, e.g. "a length or a number of codes".</summary>
    public static string NameOf(ReadOnlySpan<Dimension> dimensions) => Join(dimensions, NameOf);

    /// <summary>Joins several examples, e.g. "20 nm or 3 codes".</summary>
    public static string ExampleOf(ReadOnlySpan<Dimension> dimensions) => Join(dimensions, ExampleOf);

    private static string Join(ReadOnlySpan<Dimension> dimensions, Func<Dimension, string> text)
    {
        string[] parts = new string[dimensions.Length];
        for (int i = 0; i < parts.Length; i++)
        {
            parts[i] = text(dimensions[i]);
        }

        return string.Join(" or ", parts);
    }
}
