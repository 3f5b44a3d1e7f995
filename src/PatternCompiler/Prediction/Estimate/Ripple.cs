namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// How even the dose of neighbouring lines or points is. A beam's cross-section is taken as a Gaussian of standard
/// deviation σ = FWHM/(2·√(2·ln 2)).
/// </summary>
internal static class Ripple
{
    private const int SamplesPerPitch = 32;
    private const double ReachInDeviations = 7;

    /// <summary>
    /// Relative amplitude, half of highest less lowest over the mean, of lines of any spacing and charge, summed
    /// directly between the places where the first and the last line no longer matter. Zero where nothing lies between.
    /// </summary>
    /// <param name="positions">Ascending places.</param>
    /// <param name="charges">Charge of each.</param>
    /// <param name="deviation">σ, in the unit of the places.</param>
    public static double OfLines(ReadOnlySpan<double> positions, ReadOnlySpan<double> charges, double deviation)
    {
        if (positions.Length < 3)
        {
            return 0;
        }

        double meanPitch = (positions[^1] - positions[0]) / (positions.Length - 1);
        double margin = Math.Max(3 * deviation, meanPitch / 2);
        double from = positions[0] + margin;
        double to = positions[^1] - margin;
        if (to - from < meanPitch)
        {
            return 0;
        }

        int samples = (int)Math.Ceiling((to - from) / meanPitch * SamplesPerPitch) + 1;
        double low = double.PositiveInfinity;
        double high = double.NegativeInfinity;
        double sum = 0;
        int first = 0;
        for (int i = 0; i < samples; i++)
        {
            double at = from + (to - from) * i / (samples - 1);
            while (positions[first] < at - ReachInDeviations * deviation && first < positions.Length - 1)
            {
                first++;
            }

            double dose = DoseAt(at, positions, charges, first, deviation);
            low = Math.Min(low, dose);
            high = Math.Max(high, dose);
            sum += dose;
        }

        return sum > 0 ? (high - low) / 2 / (sum / samples) : 0;
    }

    private static double DoseAt(double at, ReadOnlySpan<double> positions, ReadOnlySpan<double> charges, int first, double deviation)
    {
        double dose = 0;
        for (int i = first; i < positions.Length && positions[i] <= at + ReachInDeviations * deviation; i++)
        {
            double distance = (at - positions[i]) / deviation;
            dose += charges[i] * Math.Exp(-distance * distance / 2);
        }

        return dose;
    }
}
