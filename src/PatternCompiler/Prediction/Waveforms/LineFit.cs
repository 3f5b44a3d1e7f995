namespace PatternCompiler.Prediction.Waveforms;

/// <summary>A straight line through pairs of values by least squares.</summary>
/// <param name="Gain">Slope.</param>
/// <param name="Offset">Value where the other is 0.</param>
/// <param name="Rms">Root mean square of what is left.</param>
/// <param name="Unexplained">Part of the variance that is left, 0 to 1; infinite where less than half of the values have a partner, or one side is constant.</param>
/// <param name="Count">Pairs that were used; 0 for no fit.</param>
internal readonly record struct LineFit(double Gain, double Offset, double Rms, double Unexplained, int Count)
{
    private static LineFit None { get; } = new(0, 0, 0, double.PositiveInfinity, 0);

    /// <summary>Fits values over expected ones; those that are not a number are left out.</summary>
    public static LineFit Of(ReadOnlySpan<double> expected, ReadOnlySpan<double> values)
    {
        int count = 0;
        (double meanX, double meanY) = (0, 0);
        for (int i = 0; i < expected.Length; i++)
        {
            if (!double.IsNaN(expected[i]))
            {
                count++;
                meanX += expected[i];
                meanY += values[i];
            }
        }

        if (2 * count < expected.Length || count < 2)
        {
            return None;
        }

        (meanX, meanY) = (meanX / count, meanY / count);
        (double xx, double xy, double yy) = (0, 0, 0);
        for (int i = 0; i < expected.Length; i++)
        {
            if (!double.IsNaN(expected[i]))
            {
                (double dx, double dy) = (expected[i] - meanX, values[i] - meanY);
                (xx, xy, yy) = (xx + dx * dx, xy + dx * dy, yy + dy * dy);
            }
        }

        if (xx <= 1e-24 * count || yy == 0)
        {
            return None;
        }

        double gain = xy / xx;
        double rest = Math.Max(0, yy - gain * xy);
        return new LineFit(gain, meanY - gain * meanX, Math.Sqrt(rest / count), rest / yy, count);
    }
}
