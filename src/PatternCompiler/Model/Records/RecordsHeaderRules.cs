namespace PatternCompiler.Model.Records;

/// <summary>What every header of a records document obeys; readers check it so that the stages after it can rely on it.</summary>
internal static class RecordsHeaderRules
{
    /// <summary>Fewest bits of a converter.</summary>
    public const int FewestBits = 8;

    /// <summary>Most bits of a converter.</summary>
    public const int MostBits = 24;

    /// <summary>What is wrong with a header, or null.</summary>
    public static string? FaultOf(RecordsHeader header)
    {
        if (header.Dac.Bits is < FewestBits or > MostBits)
        {
            return $"the converter has {header.Dac.Bits} bits, allowed is {FewestBits} to {MostBits}";
        }

        double[] numbers = [header.Dac.MinimumVolts, header.Dac.MaximumVolts, header.ClockHertz, header.NanometresPerCodeX, header.NanometresPerCodeY];
        if (!numbers.All(double.IsFinite))
        {
            return "a number is not finite";
        }

        if (!(header.Dac.MinimumVolts < header.Dac.MaximumVolts))
        {
            return "the lower end of the voltage range is not below the upper end";
        }

        if (!(header.ClockHertz > 0))
        {
            return "the clock is not above 0 Hz";
        }

        return header.MinimumDwellTicks < 0 || header.MinimumDwellTicks > header.MaximumDwellTicks
            ? "the shortest dwell is longer than the longest"
            : null;
    }
}
