namespace PatternCompiler.Prediction.Waveforms;

/// <summary>
/// Finds how late a line is that jumps from level to level: of its samples only those beside an edge tell that, so all of these are looked at, and of the
/// delays that move none of them over an edge, which leave the same, the middle is taken.
/// </summary>
/// <param name="course">What is expected.</param>
/// <param name="trace">What was measured.</param>
/// <param name="seconds">When, in the exposure's time.</param>
/// <param name="spacing">From sample to sample.</param>
internal sealed class EdgeDelay(ExpectedCourse course, MeasuredTrace trace, double[] seconds, double spacing)
{
    private const int MostSamples = 40_000;
    private const int DelaysAtOnce = 200;
    private const double PartOfSpacing = 0.25;

    /// <summary>The delay that leaves least within some time of one.</summary>
    public double Near(double delay, double within)
    {
        for (double reach = within; ; reach = 4 * reach / DelaysAtOnce)
        {
            (double[] times, double[] volts) = BesideEdges(delay, reach);
            if (times.Length == 0)
            {
                return delay;
            }

            double from = delay - reach, step = 2 * reach / DelaysAtOnce;
            double[] rest = [.. Enumerable.Range(0, DelaysAtOnce + 1).Select(i => TraceComparer.Fit(course, trace.Line, times, volts, from + i * step).Unexplained)];
            double least = rest.Min();
            int first = Array.IndexOf(rest, least), last = first;
            while (last + 1 < rest.Length && rest[last + 1] == least)
            {
                last++;
            }

            delay = from + (first + last) / 2.0 * step;
            if (step <= PartOfSpacing * spacing)
            {
                return delay;
            }
        }
    }

    // And as many on either side, for the levels.
    private (double[] Times, double[] Volts) BesideEdges(double delay, double reach)
    {
        double[] moved = [.. seconds.Select(time => time - delay)];
        var expected = new double[moved.Length];
        course.Fill(trace.Line, moved, expected);
        int beside = (int)Math.Min(seconds.Length, Math.Ceiling(2 * reach / spacing) + 1);
        List<double> times = [], volts = [];
        for (int i = 1, next = 0; i < expected.Length && times.Count < MostSamples; i++)
        {
            if (expected[i] == expected[i - 1] || !double.IsFinite(expected[i]) || !double.IsFinite(expected[i - 1]))
            {
                continue;
            }

            int end = Math.Min(seconds.Length, i + beside);
            for (next = Math.Max(next, i - beside); next < end; next++)
            {
                times.Add(seconds[next]);
                volts.Add(trace.Volts[next]);
            }
        }

        return ([.. times], [.. volts]);
    }
}
