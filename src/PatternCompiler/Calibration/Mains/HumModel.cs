using System.Collections.Immutable;

namespace PatternCompiler.Calibration.Mains;

/// <summary>
/// The columns of the least-squares problem: for each axis an offset and a drift of every line, and sine and cosine of every multiple
/// of the frequency. Axes are stacked; they share nothing but the frequency.
/// </summary>
internal sealed class HumModel(HumRows rows, double hertz, int harmonics)
{
    /// <summary>Frequency of the mains.</summary>
    public double Hertz => hertz;

    /// <summary>Highest multiple of it.</summary>
    public int Harmonics => harmonics;

    /// <summary>Columns without that of the frequency.</summary>
    public int Columns => rows.Axes.Length * PerAxis;

    /// <summary>The design matrix.</summary>
    public double[,] Design => Fill(Columns);

    private int PerAxis => 2 * rows.Lines + 2 * harmonics;

    /// <summary>Column of the sine of a multiple; its cosine follows.</summary>
    public int SineColumn(int axis, int harmonic) => axis * PerAxis + 2 * rows.Lines + 2 * (harmonic - 1);

    /// <summary>With a last column for how the fitted waves change with the frequency.</summary>
    public double[,] DesignWithFrequency(double[] coefficients)
    {
        double[,] design = Fill(Columns + 1);
        for (int axis = 0; axis < rows.Axes.Length; axis++)
        {
            for (int i = 0; i < rows.Count; i++)
            {
                double t = rows.Seconds[i];
                for (int harmonic = 1; harmonic <= harmonics; harmonic++)
                {
                    int column = SineColumn(axis, harmonic);
                    (double sine, double cosine) = Math.SinCos(Math.Tau * harmonic * hertz * t);
                    design[axis * rows.Count + i, Columns] += Math.Tau * harmonic * t * (coefficients[column] * cosine - coefficients[column + 1] * sine);
                }
            }
        }

        return design;
    }

    /// <summary>Displacements of an axis without the offset and drift of their lines.</summary>
    public ImmutableArray<double> WithoutTrend(LinearFit fit, int axis) =>
    [
        .. Enumerable.Range(0, rows.Count).Select(i =>
        {
            int column = axis * PerAxis + 2 * rows.LineOf[i];
            return rows.Axes[axis].Nanometres[i] - fit.Coefficients[column] - fit.Coefficients[column + 1] * rows.Along(i);
        }),
    ];

    private double[,] Fill(int columns)
    {
        var design = new double[rows.Axes.Length * rows.Count, columns];
        for (int axis = 0; axis < rows.Axes.Length; axis++)
        {
            for (int i = 0; i < rows.Count; i++)
            {
                int row = axis * rows.Count + i;
                int line = axis * PerAxis + 2 * rows.LineOf[i];
                (design[row, line], design[row, line + 1]) = (1, rows.Along(i));
                for (int harmonic = 1; harmonic <= harmonics; harmonic++)
                {
                    int column = SineColumn(axis, harmonic);
                    (design[row, column], design[row, column + 1]) = Math.SinCos(Math.Tau * harmonic * hertz * rows.Seconds[i]);
                }
            }
        }

        return design;
    }
}
