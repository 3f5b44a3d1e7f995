using MathNet.Numerics.LinearAlgebra;

namespace PatternCompiler.Calibration.Contrast;

/// <summary>
/// The best curve, brought from the search's bottom to the last digit, with its intervals. Abscissae are log10(dose) from a centre,
/// mirrored for a negative resist.
/// </summary>
internal sealed class CurveFit(ClampedSlope slope, IReadOnlyList<double> doses, double[] y, double centre, double sign, bool fitsHeight)
{
    private const double Reach = 2;
    private readonly double[] x = [.. doses.Select(dose => sign * (Math.Log10(dose) - centre))];
    private Matrix<double>? covariance;

    public ClampedSlope Slope => slope;

    public double Top { get; private set; }

    public double End { get; private set; }

    public double Height { get; private set; }

    public double SumOfSquares { get; private set; }

    /// <summary>Measurements beyond the parameters.</summary>
    public int DegreesOfFreedom => y.Length - (fitsHeight ? 3 : 2);

    /// <summary>Least squares from the place that the search has found; its sums have lost the last digits.</summary>
    public void Polish(double top, double end)
    {
        double[] start = fitsHeight ? [top, end, slope.HeightAt(top, end)] : [top, end];
        NonlinearFit fit = NonlinearFit.Solve(Evaluate, y.Length, start)
            ?? throw new InvalidOperationException("The search ended where the curve has no value.");
        (Top, End, Height) = (fit.Parameters[0], fit.Parameters[1], fitsHeight ? fit.Parameters[2] : 1);
        SumOfSquares = fit.SumOfSquares;
        covariance = fit.Covariance;
    }

    public double DoseAt(double place) => Math.Pow(10, centre + sign * place);

    /// <summary>Interval of a parameter from its profile; <paramref name="index"/> is its place, -1 for the width.</summary>
    public (double Low, double High) Interval(Func<double, double> squaresAt, double best, int index)
    {
        if (DegreesOfFreedom < 1)
        {
            return (double.NaN, double.NaN);
        }

        Matrix<double> c = covariance!;
        double variance = index < 0 ? c[0, 0] + c[1, 1] - 2 * c[0, 1] : c[index, index];
        double step = Math.Sqrt(Math.Abs(variance));
        return ProfileInterval.Find(squaresAt, best, SumOfSquares, SumOfSquares / DegreesOfFreedom, double.IsFinite(step) ? step : 0.01, Reach, DegreesOfFreedom);
    }

    /// <summary>Half width of the 95% band of the slope at a dose, as a part of the plateau, by the slopes at the minimum.</summary>
    public double BandHalfWidth(double dose)
    {
        double place = Math.Clamp(sign * (Math.Log10(dose) - centre), Top, End);
        Span<double> gradient = stackalloc double[3];
        Gradient(place, Top, End, Height, gradient);
        double variance = 0;
        for (int i = 0; i < covariance!.RowCount; i++)
        {
            for (int j = 0; j < covariance.RowCount; j++)
            {
                variance += gradient[i] * covariance[i, j] * gradient[j];
            }
        }

        return ConfidenceInterval.HalfWidths(DegreesOfFreedom) * Math.Sqrt(variance) / Height;
    }

    private bool Evaluate(ReadOnlySpan<double> p, Span<double> residuals, Span<double> slopes)
    {
        double height = fitsHeight ? p[2] : 1;
        if (!(p[1] > p[0]) || !(height > 0))
        {
            return false;
        }

        Span<double> gradient = stackalloc double[3];
        for (int i = 0; i < y.Length; i++)
        {
            residuals[i] = y[i] - Gradient(x[i], p[0], p[1], height, gradient);
            for (int parameter = 0; parameter < p.Length; parameter++)
            {
                slopes[i * p.Length + parameter] = -gradient[parameter];
            }
        }

        return true;
    }

    // The curve at a place, and how it changes with top, end and height.
    private static double Gradient(double place, double top, double end, double height, Span<double> gradient)
    {
        double width = end - top;
        double part = Math.Clamp((end - place) / width, 0, 1);
        bool isOnSlope = place >= top && place <= end;
        gradient[0] = isOnSlope ? height * part / width : 0;
        gradient[1] = isOnSlope ? height * (1 - part) / width : 0;
        gradient[2] = part;
        return height * part;
    }
}
