namespace PatternCompiler.Calibration.Converters;

/// <summary>Readings that stand apart from those of the codes beside them.</summary>
internal static class ConverterOutliers
{
    /// <summary>Fewer readings say nothing of how far apart they usually are.</summary>
    private const int FewestReadings = 12;

    // Neighbours to either side.
    private const int Beside = 4;

    /// <summary>A carry is off by a few of these at the most: common practice, no source.</summary>
    private const double LargestDeviations = 8;

    // Of a normal distribution, the standard deviation over the median distance from the middle.
    private const double DeviationPerMedian = 1.4826;

    /// <summary>Numbers of those readings, with how far each is off its neighbours in steps.</summary>
    /// <param name="readings">Of one output, within what is followed, by rising code.</param>
    /// <param name="deviations">How far each lies above a straight line, without crosstalk, in steps.</param>
    /// <param name="carrySteps">Steps that a carry may be off by.</param>
    public static IReadOnlyList<(int Index, double Steps)> Of(IReadOnlyList<ConverterReading> readings, IReadOnlyList<double> deviations, double carrySteps)
    {
        if (readings.Count < FewestReadings)
        {
            return [];
        }

        double[] apart = [.. Enumerable.Range(0, readings.Count).Select(i => deviations[i] - Median(Neighbours(i)))];
        double usual = DeviationPerMedian * Median(apart.Select(Math.Abs));
        double stated = readings.Max(r => double.IsNaN(r.ErrorSteps) ? 0 : r.ErrorSteps);
        double limit = Math.Max(carrySteps, LargestDeviations * Math.Max(usual, stated));
        return [.. Enumerable.Range(0, apart.Length).Where(i => Math.Abs(apart[i]) > limit).Select(i => (i, apart[i]))];

        IEnumerable<double> Neighbours(int i) =>
            Enumerable.Range(Math.Max(0, i - Beside), Math.Min(readings.Count - 1, i + Beside) - Math.Max(0, i - Beside) + 1).Where(j => j != i).Select(j => deviations[j]);
    }

    /// <summary>The middle one of some numbers.</summary>
    public static double Median(IEnumerable<double> values)
    {
        double[] sorted = [.. values.Order()];
        return sorted.Length == 0 ? double.NaN : (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2;
    }
}
