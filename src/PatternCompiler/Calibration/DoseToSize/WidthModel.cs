using System.Collections.Immutable;
using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.DoseToSize;

/// <summary>
/// Widths of bars and gaps by the logarithm of the threshold and by the bias: the energy at a measured edge, the bias taken back, is
/// the threshold. What is missed of it is told as a width, by the slope of the energy there. Where the energy is flat, as in a bar
/// that just prints, a width tells it no better than dose and spread are known: 1 % counts like 4 nm (common practice, no source). What
/// squares tell of the threshold is one more row.
/// </summary>
internal sealed class WidthModel
{
    private const double LogarithmPerNanometre = 0.01 / 4;
    private readonly IReadOnlyList<DoseReading> readings;
    private readonly SpreadFunction spread;
    private readonly ImmutableArray<(double Left, double Right)>[] strips;
    private readonly double[] weights;
    private double squaresLogThreshold;
    private double squaresWeight;

    public WidthModel(IReadOnlyList<DoseReading> readings, SpreadFunction spread)
    {
        this.readings = readings;
        this.spread = spread;
        strips = [.. readings.Select(reading => reading.Feature.Strips())];
        weights = new double[readings.Count];
        for (int i = 0; i < weights.Length; i++)
        {
            (_, double slope) = AtEdges(i, 0);
            weights[i] = 1 / Math.Sqrt((slope * slope / 4) + (LogarithmPerNanometre * LogarithmPerNanometre));
        }
    }

    /// <summary>Adds a threshold that squares tell.</summary>
    /// <param name="logThreshold">Its logarithm.</param>
    /// <param name="weight">Error of a width over the error of the logarithm.</param>
    public void Add(double logThreshold, double weight) => (squaresLogThreshold, squaresWeight) = (logThreshold, weight);

    /// <summary>Logarithm of the threshold at which a reading alone, without bias, prints as measured.</summary>
    public double LogThresholdOf(int row) => AtEdges(row, 0).LogEnergy;

    /// <summary>Root mean square of what is missed of the widths, in nanometres.</summary>
    public double RootMeanSquare(ReadOnlySpan<double> p)
    {
        double sum = 0;
        for (int i = 0; i < readings.Count; i++)
        {
            double miss = weights[i] * (AtEdges(i, p[1]).LogEnergy - p[0]);
            sum += miss * miss;
        }

        return Math.Sqrt(sum / readings.Count);
    }

    /// <summary>What is missed of every width, with slopes.</summary>
    public bool Evaluate(ReadOnlySpan<double> p, Span<double> residuals, Span<double> slopes)
    {
        for (int i = 0; i < readings.Count; i++)
        {
            (double logEnergy, double slope) = AtEdges(i, p[1]);
            residuals[i] = weights[i] * (logEnergy - p[0]);
            slopes[2 * i] = -weights[i];
            slopes[(2 * i) + 1] = weights[i] * slope * (readings[i].Feature.Kind == DoseFeatureKind.Gap ? 1 : -1);
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

    // Mean of the logarithms of the energy at both edges, and how it changes as the edges move away from the middle.
    private (double LogEnergy, double Slope) AtEdges(int row, double bias)
    {
        DoseReading reading = readings[row];
        double place = (reading.WidthNanometres / 2) + (reading.Feature.Kind == DoseFeatureKind.Gap ? bias : -bias);
        (double left, double leftSlope) = DoseFeature.EnergyAt(spread, strips[row], reading.Feature.LengthNanometres, -place);
        (double right, double rightSlope) = DoseFeature.EnergyAt(spread, strips[row], reading.Feature.LengthNanometres, place);
        const double Smallest = 1e-300;
        (left, right) = (Math.Max(left, Smallest), Math.Max(right, Smallest));
        return (Math.Log(reading.Dose) + (Math.Log(left * right) / 2), ((rightSlope / right) - (leftSlope / left)) / 2);
    }
}
