using MathNet.Numerics.LinearAlgebra;

namespace PatternCompiler.Calibration;

/// <summary>
/// Least squares of a model that is not linear in its parameters: steps by K. Levenberg, Quart. Appl. Math. 2, 164 (1944), with
/// the damping of D. W. Marquardt, J. Soc. Indust. Appl. Math. 11, 431 (1963), from derivatives in closed form.
/// </summary>
internal sealed class NonlinearFit
{
    private const int MostSteps = 200;
    private const double SmallestDamping = 1e-12;
    private const double LargestDamping = 1e12;
    private const double Settled = 1e-11;

    // On the way to an interval's end, the sum is wanted to a small part of what it may grow by.
    private const double SettledHeld = 1e-9;

    // At the bottom the sum's last digits say nothing any more; the steps still do.
    private const double Unrisen = 1 + 1e-13;

    // A step this short that no longer lowers the sum is lost in its last digits.
    private const double Unmoved = 1e-8;

    private readonly ResidualModel model;
    private readonly int measurements;
    private Matrix<double>? covariance;

    private readonly double leastVariance;

    private NonlinearFit(ResidualModel model, int measurements, double[] parameters, double sumOfSquares, double leastVariance)
    {
        this.leastVariance = leastVariance;
        this.model = model;
        this.measurements = measurements;
        Parameters = parameters;
        SumOfSquares = sumOfSquares;
    }

    /// <summary>Parameters at the minimum.</summary>
    public double[] Parameters { get; }

    /// <summary>Sum of the squares of the residuals there.</summary>
    public double SumOfSquares { get; }

    /// <summary>Measurements beyond the parameters.</summary>
    public int DegreesOfFreedom => measurements - Parameters.Length;

    /// <summary>Estimated variance of one measurement; not a number without a spare one.</summary>
    public double Variance => DegreesOfFreedom > 0 ? Math.Max(leastVariance, SumOfSquares / DegreesOfFreedom) : double.NaN;

    /// <summary>
    /// Covariance of the parameters by the slopes at the minimum; what the measurements do not determine is infinite or no number.
    /// </summary>
    public Matrix<double> Covariance => covariance ??= ComputeCovariance();

    /// <summary>Searches from a starting point; null if the model has no value there.</summary>
    /// <param name="model">The model.</param>
    /// <param name="measurements">Number of measurements.</param>
    /// <param name="start">Parameters to start from.</param>
    /// <param name="held">Index of a parameter that stays as it is; -1 for none.</param>
    /// <param name="leastVariance">What the variance of a measurement is taken for where the residuals are smaller.</param>
    public static NonlinearFit? Solve(ResidualModel model, int measurements, ReadOnlySpan<double> start, int held = -1, double leastVariance = 0)
    {
        int count = start.Length;
        double[] parameters = start.ToArray();
        var tried = new double[count];
        double[] residuals = new double[measurements], slopes = new double[measurements * count];
        double[] triedResiduals = new double[measurements], triedSlopes = new double[measurements * count];
        double squares = Squares(model, parameters, residuals, slopes);
        if (!double.IsFinite(squares))
        {
            return null;
        }

        double damping = 1e-3;
        for (int step = 0; step < MostSteps && damping < LargestDamping; step++)
        {
            double[] change = Step(residuals, slopes, count, damping, held);
            double largest = 0;
            for (int i = 0; i < count; i++)
            {
                tried[i] = parameters[i] + change[i];
                largest = Math.Max(largest, Math.Abs(change[i]) / (1 + Math.Abs(parameters[i])));
            }

            double reached = Squares(model, tried, triedResiduals, triedSlopes);
            if (!(reached <= squares * Unrisen))
            {
                if (largest < Unmoved)
                {
                    break;
                }

                damping *= 8;
                continue;
            }

            bool isSettled = largest < Settled || (held >= 0 && squares - reached <= SettledHeld * squares);
            (parameters, tried) = (tried, parameters);
            (residuals, triedResiduals) = (triedResiduals, residuals);
            (slopes, triedSlopes) = (triedSlopes, slopes);
            squares = reached;
            damping = Math.Max(SmallestDamping, damping / 8);
            if (isSettled)
            {
                break;
            }
        }

        return new NonlinearFit(model, measurements, parameters, squares, leastVariance);
    }

    /// <summary>95% interval of a parameter by profile likelihood; infinite ends where nothing bounds it.</summary>
    /// <param name="parameter">Its index.</param>
    /// <param name="reach">Further off than this it counts as unbounded.</param>
    public (double Low, double High) Interval(int parameter, double reach)
    {
        double[] near = Parameters;
        double error = Math.Sqrt(Math.Abs(Covariance[parameter, parameter]));
        return ProfileInterval.Find(
            value =>
            {
                // The last fit on the way is the best place to start the next one from.
                double[] start = [.. near];
                start[parameter] = value;
                NonlinearFit? held = Solve(model, measurements, start, parameter);
                if (held is null)
                {
                    start = [.. Parameters];
                    start[parameter] = value;
                    held = Solve(model, measurements, start, parameter);
                }

                near = held?.Parameters ?? near;
                return held?.SumOfSquares ?? double.PositiveInfinity;
            },
            Parameters[parameter],
            SumOfSquares,
            Variance,
            double.IsFinite(error) ? error : reach / 100,
            reach,
            DegreesOfFreedom);
    }

    private static double Squares(ResidualModel model, double[] parameters, double[] residuals, double[] slopes)
    {
        if (!model(parameters, residuals, slopes))
        {
            return double.PositiveInfinity;
        }

        double sum = 0;
        foreach (double residual in residuals)
        {
            sum += residual * residual;
        }

        return double.IsFinite(sum) ? sum : double.PositiveInfinity;
    }

    // (JᵀJ + damping·diag(JᵀJ))·change = −Jᵀr, by elimination: the matrix is positive definite.
    private static double[] Step(double[] residuals, double[] slopes, int count, double damping, int held)
    {
        Span<double> normal = stackalloc double[count * count];
        normal.Clear();
        var change = new double[count];
        for (int row = 0; row < residuals.Length; row++)
        {
            ReadOnlySpan<double> slope = slopes.AsSpan(row * count, count);
            for (int i = 0; i < count; i++)
            {
                change[i] -= slope[i] * residuals[row];
                for (int j = 0; j < count; j++)
                {
                    normal[i * count + j] += slope[i] * slope[j];
                }
            }
        }

        for (int i = 0; i < count; i++)
        {
            normal[i * count + i] *= 1 + damping;
            if (i == held || !(normal[i * count + i] > 0))
            {
                for (int j = 0; j < count; j++)
                {
                    normal[i * count + j] = normal[j * count + i] = i == j ? 1 : 0;
                }

                change[i] = 0;
            }
        }

        for (int i = 0; i < count; i++)
        {
            for (int row = i + 1; row < count; row++)
            {
                double factor = normal[row * count + i] / normal[i * count + i];
                for (int j = i; j < count; j++)
                {
                    normal[row * count + j] -= factor * normal[i * count + j];
                }

                change[row] -= factor * change[i];
            }
        }

        for (int i = count - 1; i >= 0; i--)
        {
            for (int j = i + 1; j < count; j++)
            {
                change[i] -= normal[i * count + j] * change[j];
            }

            change[i] /= normal[i * count + i];
        }

        return change;
    }

    private Matrix<double> ComputeCovariance()
    {
        double[] residuals = new double[measurements], slopes = new double[measurements * Parameters.Length];
        model(Parameters, residuals, slopes);
        Matrix<double> jacobian = Matrix<double>.Build.Dense(measurements, Parameters.Length, (row, i) => slopes[row * Parameters.Length + i]);
        return Variance * jacobian.TransposeThisAndMultiply(jacobian).Inverse();
    }
}

/// <summary>
/// Writes what a model misses of each measurement, measured minus modelled, and how that changes with each parameter, row by row.
/// </summary>
/// <param name="parameters">Parameters of the model.</param>
/// <param name="residuals">Takes one residual per measurement.</param>
/// <param name="slopes">Takes its derivatives, one per parameter.</param>
/// <returns>False where the model has no value.</returns>
internal delegate bool ResidualModel(ReadOnlySpan<double> parameters, Span<double> residuals, Span<double> slopes);
