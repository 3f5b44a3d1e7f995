using System.Collections.Immutable;

namespace PatternCompiler.Instrument;

/// <summary>
/// What the mains does to the beam's place: sines of its frequency and of whole multiples of it. Time 0 is an edge of the trigger
/// input; without one, any agreed moment of the mains.
/// </summary>
/// <param name="Hertz">Frequency of the mains.</param>
/// <param name="X">Along the sample's x axis: of the frequency itself, of twice, of three times …</param>
/// <param name="Y">Along the sample's y axis.</param>
public sealed record Hum(double Hertz, ImmutableArray<HumWave> X, ImmutableArray<HumWave> Y)
{
    /// <summary>Where the beam is beside its place at a time, in nanometres.</summary>
    public (double X, double Y) At(double seconds) => (Sum(X, seconds), Sum(Y, seconds));

    private double Sum(ImmutableArray<HumWave> waves, double seconds)
    {
        double sum = 0;
        for (int i = 0; i < waves.Length; i++)
        {
            sum += waves[i].Nanometres * Math.Sin(Math.Tau * (Hertz * (i + 1) * seconds + waves[i].Degrees / 360));
        }

        return sum;
    }
}

/// <summary>One sine.</summary>
/// <param name="Nanometres">Amplitude: half of what lies between the ends of the swing.</param>
/// <param name="Degrees">Phase at time 0; 90 is the positive end of the swing.</param>
public readonly record struct HumWave(double Nanometres, double Degrees);
