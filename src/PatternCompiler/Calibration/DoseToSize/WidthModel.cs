using System.Collections.Immutable;
using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.DoseToSize;

/// <summary>
/// Widths of bars and gaps by the logarithm of the threshold and by the bias: the energy at a measured edge, the bias taken back, is
/// the threshold. What is missed of it is told as a width, by the slope of the energy there. Where the energy is flat, as in a bar
/// that just prints, a width tells it no better than the dose is known: 1 % counts like 4 nm (common practice, no source). The error of
/// the spread moves all readings together, each by its own slopes: every range and ratio is one more parameter, in standard errors,
/// held near 0 by a row of its own. That is generalised least squares with the readings' errors and those of the spread in one
/// covariance. What squares tell of the threshold is one more row.
/// </summary>
internal sealed class WidthModel
{
    /// <summary>Threshold and bias; what the spread is off by follows.</summary>
    public const int OwnParameters = 2;

    private const double LogarithmPerNanometre = 0.01 / 4;
    private readonly IReadOnlyList<DoseReading> readings;
    private readonly SpreadFunction spread;
    private readonly ImmutableArray<(double Left, double Right)>[] strips;
    private readonly double[] weights;
    private readonly double[][] spreadSlopes;
    private SquareReadings? squares;
    private double squaresError;

    public WidthModel(IReadOnlyList<DoseReading> readings, SpreadFunction spread, SpreadError spreadError)
    {
        this.readings = readings;
        this.spread = spread;
        ParameterCount = OwnParameters + spreadError.Count;
        strips = [.. readings.Select(reading => reading.Feature.Strips())];
        weights = new double[readings.Count];
        spreadSlopes = new double[readings.Count][];
        for (int i = 0; i < weights.Length; i++)
        {
            int row = i;
            (_, double slope) = AtEdges(spread, row, 0);
            weights[i] = 1 / Math.Sqrt((slope * slope / 4) + (LogarithmPerNanometre * LogarithmPerNanometre));
            spreadSlopes[i] = spreadError.Slopes(other => AtEdges(other, row, 0).LogEnergy);
        }
    }

    /// <summary>Number of parameters.</summary>
    public int ParameterCount { get; }

    /// <summary>Number of rows.</summary>
    public int RowCount => readings.Count + ParameterCount - OwnParameters + (squares is null ? 0 : 1);

    /// <summary>Error of a width, against which those of the spread and the squares count.</summary>
    public double WidthError { get; set; } = 1;

    /// <summary>Adds a threshold that squares tell.</summary>
    /// <param name="told">What they tell.</param>
    /// <param name="logError">Standard error of its logarithm.</param>
    public void Add(SquareReadings told, double logError) => (squares, squaresError) = (told, logError);

    /// <summary>Logarithm of the threshold at which a reading alone, without bias, prints as measured.</summary>
    public double LogThresholdOf(int row) => AtEdges(spread, row, 0).LogEnergy;

    /// <summary>Root mean square of what threshold and bias miss of the widths with the spread as stated, in nanometres.</summary>
    public double RootMeanSquare(ReadOnlySpan<double> p)
    {
        double sum = 0;
        for (int i = 0; i < readings.Count; i++)
        {
            double miss = weights[i] * (AtEdges(spread, i, p[1]).LogEnergy - p[0]);
            sum += miss * miss;
        }

        return Math.Sqrt(sum / readings.Count);
    }

    /// <summary>What is missed of every width, with slopes.</summary>
    public bool Evaluate(ReadOnlySpan<double> p, Span<double> residuals, Span<double> slopes)
    {
        slopes.Clear();
        int row = 0;
        for (; row < readings.Count; row++)
        {
            (double logEnergy, double slope) = AtEdges(spread, row, p[1]);
            Span<double> own = slopes.Slice(row * ParameterCount, ParameterCount);
            residuals[row] = Row(p, logEnergy, spreadSlopes[row], weights[row], own);
            own[1] = weights[row] * slope * (readings[row].Feature.Kind == DoseFeatureKind.Gap ? 1 : -1);
        }

        for (int i = OwnParameters; i < ParameterCount; i++, row++)
        {
            residuals[row] = WidthError * p[i];
            slopes[(row * ParameterCount) + i] = WidthError;
        }

        if (squares is not null)
        {
            residuals[row] = Row(p, squares.LogThreshold, squares.SpreadSlopes, WidthError / squaresError, slopes.Slice(row * ParameterCount, ParameterCount));
        }

        return true;
    }

    // What a reading tells of the threshold, were the spread off as the parameters say, against the threshold.
    private static double Row(ReadOnlySpan<double> p, double logThreshold, ReadOnlySpan<double> spreadSlopes, double weight, Span<double> slopes)
    {
        double told = logThreshold;
        for (int i = 0; i < spreadSlopes.Length; i++)
        {
            told += spreadSlopes[i] * p[OwnParameters + i];
            slopes[OwnParameters + i] = weight * spreadSlopes[i];
        }

        slopes[0] = -weight;
        return weight * (told - p[0]);
    }

    // Mean of the logarithms of the energy at both edges, and how it changes as the edges move away from the middle.
    private (double LogEnergy, double Slope) AtEdges(SpreadFunction by, int row, double bias)
    {
        DoseReading reading = readings[row];
        double place = (reading.WidthNanometres / 2) + (reading.Feature.Kind == DoseFeatureKind.Gap ? bias : -bias);
        (double left, double leftSlope) = DoseFeature.EnergyAt(by, strips[row], reading.Feature.LengthNanometres, -place);
        (double right, double rightSlope) = DoseFeature.EnergyAt(by, strips[row], reading.Feature.LengthNanometres, place);
        const double Smallest = 1e-300;
        (left, right) = (Math.Max(left, Smallest), Math.Max(right, Smallest));
        return (Math.Log(reading.Dose) + (Math.Log(left * right) / 2), ((rightSlope / right) - (leftSlope / left)) / 2);
    }
}
