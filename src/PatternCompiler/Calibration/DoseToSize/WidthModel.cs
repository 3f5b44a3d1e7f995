using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.DoseToSize;

/// <summary>Widths of bars and gaps by the logarithm of the threshold and by the bias; what squares tell of the first is one more row.</summary>
internal sealed class WidthModel(IReadOnlyList<DoseReading> readings, SpreadFunction spread)
{
    private double squaresLogThreshold;
    private double squaresWeight;

    /// <summary>The same with a threshold that squares tell.</summary>
    /// <param name="logThreshold">Its logarithm.</param>
    /// <param name="weight">Error of a width over the error of the logarithm.</param>
    public WidthModel With(double logThreshold, double weight) => new(readings, spread) { squaresLogThreshold = logThreshold, squaresWeight = weight };

    /// <summary>Logarithm of the threshold at which a reading alone, without bias, prints as measured.</summary>
    public double LogThresholdOf(int row)
    {
        DoseReading reading = readings[row];
        double energy = DoseFeature.EnergyAt(spread, reading.Feature.Strips(), reading.Feature.LengthNanometres, reading.WidthNanometres / 2).Energy;
        return Math.Log(reading.Dose * Math.Max(energy, 1e-12));
    }

    /// <summary>Where to start, and between which logarithms of a threshold every reading has a width.</summary>
    public (double Start, double Lowest, double Highest) Start()
    {
        double lowest = double.NegativeInfinity;
        double highest = double.PositiveInfinity;
        double[] alone = [.. Enumerable.Range(0, readings.Count).Select(LogThresholdOf).Order()];
        foreach (DoseReading reading in readings)
        {
            double middle = Math.Log(reading.Dose * reading.Feature.MiddleEnergy(spread));
            (lowest, highest) = reading.Feature.Kind == DoseFeatureKind.Gap ? (Math.Max(lowest, middle), highest) : (lowest, Math.Min(highest, middle));
        }

        double start = alone[alone.Length / 2];
        double inset = double.IsFinite(lowest) && double.IsFinite(highest) ? (highest - lowest) / 20 : 0.01;
        return (lowest < highest ? Math.Clamp(start, lowest + inset, highest - inset) : start, lowest, highest);
    }

    /// <summary>Measured minus modelled widths, with slopes.</summary>
    public bool Evaluate(ReadOnlySpan<double> p, Span<double> residuals, Span<double> slopes)
    {
        double threshold = Math.Exp(p[0]);
        for (int i = 0; i < readings.Count; i++)
        {
            DoseReading reading = readings[i];
            if (reading.Feature.PrintedWidth(spread, threshold / reading.Dose) is not { } printed)
            {
                return false;
            }

            double sign = DoseFitter.BiasSign(reading.Feature);
            residuals[i] = reading.WidthNanometres - printed.Width - (sign * p[1]);
            slopes[2 * i] = -printed.Slope;
            slopes[(2 * i) + 1] = -sign;
        }

        if (squaresWeight > 0)
        {
            int last = readings.Count;
            residuals[last] = squaresWeight * (squaresLogThreshold - p[0]);
            slopes[2 * last] = -squaresWeight;
            slopes[(2 * last) + 1] = 0;
        }

        return true;
    }
}
