namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// What a beam that lags has left to go after equal parts of a stay, and on average within one. Few durations come again and again,
/// dwells and the waits after jumps, so they are remembered. For one thread at a time.
/// </summary>
internal sealed class LagDecays
{
    /// <summary>Most parts of a stay.</summary>
    public const int MostParts = 8;

    private const int Remembered = 64;
    private readonly double[] allDecays = new double[Remembered * (MostParts + 1)];
    private readonly double[] allMeans = new double[Remembered * (MostParts + 1)];
    private readonly (double Seconds, double TimeConstant)[] known = new (double, double)[Remembered];

    /// <summary>For each number of parts, what is left of the way after one, and its mean within it, as parts of the way.</summary>
    /// <param name="ticks">How long the stay is.</param>
    /// <param name="seconds">The same in seconds.</param>
    /// <param name="timeConstantSeconds">The way left falls by e in this time.</param>
    /// <param name="decays">What is left; the first number means nothing.</param>
    /// <param name="means">The mean, likewise.</param>
    public void Of(long ticks, double seconds, double timeConstantSeconds, out ReadOnlySpan<double> decays, out ReadOnlySpan<double> means)
    {
        int place = (int)(ticks % Remembered);
        int first = place * (MostParts + 1);
        if (known[place] != (seconds, timeConstantSeconds))
        {
            known[place] = (seconds, timeConstantSeconds);
            for (int n = 1; n <= MostParts; n++)
            {
                allDecays[first + n] = Math.Exp(-seconds / (n * timeConstantSeconds));
                allMeans[first + n] = n * timeConstantSeconds / seconds * (1 - allDecays[first + n]);
            }
        }

        decays = allDecays.AsSpan(first, MostParts + 1);
        means = allMeans.AsSpan(first, MostParts + 1);
    }
}
