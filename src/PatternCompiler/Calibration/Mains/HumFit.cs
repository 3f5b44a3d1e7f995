using System.Collections.Immutable;

namespace PatternCompiler.Calibration.Mains;

/// <summary>Hum of the mains from displaced edges.</summary>
/// <param name="Frequency">Frequency of the mains in hertz; exact where it was stated.</param>
/// <param name="Axes">One for each column of displacements.</param>
/// <param name="Rows">Measurements of each axis.</param>
/// <param name="Lines">Lines or pictures that they come from, each with an offset and a drift of its own.</param>
/// <param name="SpanSeconds">Time from the first to the last row of the longest line.</param>
/// <param name="RootMeanSquareNanometres">What is left of the displacements, all axes together.</param>
internal sealed record HumFit(
    FitParameter Frequency, ImmutableArray<HumAxisFit> Axes, int Rows, int Lines, double SpanSeconds, double RootMeanSquareNanometres)
{
    /// <summary>The frequency was fitted, too.</summary>
    public bool IsFrequencyFitted => !double.IsNaN(Frequency.StandardError) && Frequency.StandardError > 0;
}

/// <summary>Hum along one axis.</summary>
/// <param name="Axis">"x" or "y".</param>
/// <param name="Waves">Of the frequency itself, of twice, of three times ….</param>
/// <param name="Left">Each measurement without the offset and drift of its line.</param>
internal sealed record HumAxisFit(string Axis, ImmutableArray<HumWaveFit> Waves, ImmutableArray<double> Left)
{
    /// <summary>What the waves give at a time, in nanometres.</summary>
    public double At(double seconds, double hertz)
    {
        double sum = 0;
        for (int i = 0; i < Waves.Length; i++)
        {
            sum += Waves[i].Amplitude.Value * Math.Sin(Math.Tau * (hertz * (i + 1) * seconds + Waves[i].Phase.Value / 360));
        }

        return sum;
    }
}

/// <summary>One sine: amplitude in nanometres, phase at time 0 in degrees.</summary>
internal sealed record HumWaveFit(FitParameter Amplitude, FitParameter Phase);
