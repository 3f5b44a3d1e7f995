using System.Globalization;
using System.Text;
using PatternCompiler.Calibration.BlankerCurrent;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Results;

/// <summary>Prints what mean currents tell of a blanker as the section of a machine file, and says what they do not tell.</summary>
internal static class BlankerCurrentText
{
    /// <summary>Fragment of a machine file.</summary>
    /// <param name="fit">The fit.</param>
    /// <param name="knownOnMicroseconds">The on delay where it is known otherwise, for readings that tell the difference alone.</param>
    public static string Of(BlankerCurrentFit fit, double? knownOnMicroseconds)
    {
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"# blanker by mean currents: {CountText.Of(fit.Readings.Length, "reading", "readings")}, rms residual {FitText.Rounded(fit.RootMeanSquarePicoamperes)} pA\n");
        foreach (FitParameter? parameter in (FitParameter?[])[fit.Current, fit.Leak, fit.Difference, fit.OffDelay, fit.OnDelay, fit.Rise, fit.Fall])
        {
            if (parameter is not null)
            {
                FitText.Comment(text, parameter);
            }
        }

        (double? off, double? on) = (fit.OffDelay?.Value, fit.OnDelay?.Value);
        if (fit.Difference is { } difference)
        {
            (off, on) = (knownOnMicroseconds + difference.Value, knownOnMicroseconds);
            text.Append(knownOnMicroseconds is null
                ? "# a beam that stays in the cup tells the difference of the delays alone: add readings whose deflection leaves or enters the cup,\n# or state the on delay with --on-delay, from a scope or from ends of lines\n"
                : "# the on delay is the one that was stated\n");
        }
        else
        {
            text.Append("# delays count from when the deflection crosses the edge of the cup\n");
        }

        AppendUntold(text, fit);
        string[] lines =
        [
            .. Delay("off_delay", off),
            .. Delay("on_delay", on),
            .. Edge("rise_time", fit.Rise, on, "on_delay"),
            .. Edge("fall_time", fit.Fall, off, "off_delay"),
            .. fit.Leak is { } leak ? [$"leak: {FitText.Rounded(Math.Round(Math.Clamp(leak.Value, 0, 100), 6, MidpointRounding.AwayFromZero))} %"] : (string[])[],
        ];
        text.Append(lines.All(line => line.StartsWith('#')) ? "# blanker:\n" : "blanker:\n");
        foreach (string line in lines)
        {
            text.Append("  ").Append(line).Append('\n');
        }

        return text.ToString();
    }

    private static string[] Delay(string key, double? microseconds) => microseconds is not double value ? []
        : value < 0 ? [$"# {key}: {FitText.Rounded(value)} us is below zero and cannot be stated; compare the delay of the deflection"]
        : [$"{key}: {FitText.Rounded(value)} us"];

    // The delay holds the edge's time constant, and the machine file refuses a longer edge.
    private static string[] Edge(string key, FitParameter? edge, double? delay, string delayKey)
    {
        if (edge is null)
        {
            return [];
        }

        double longest = Math.Max(0, BlankerEdges.TimePerConstant * (delay ?? 0));
        return delay is null ? [$"# {key}: {FitText.Rounded(edge.Value)} us  # with the delay, once that is known"]
            : edge.Value <= longest ? [$"{key}: {FitText.Rounded(edge.Value)} us"]
            : [$"{key}: {NumberText.Format(Math.Floor(1e4 * longest) / 1e4)} us  # the longest that {delayKey} allows; {FitText.Rounded(edge.Value)} us were fitted"];
    }

    private static void AppendUntold(StringBuilder text, BlankerCurrentFit fit)
    {
        if (fit.Rise is not null && fit.Fall is not null)
        {
            return;
        }

        string missing = fit.Rise is null && fit.Fall is null ? "rise and fall times" : fit.Rise is null ? "rise time" : "fall time";
        text.Append(CultureInfo.InvariantCulture, $"# {missing}: not told; the shortest time on is {FitText.Rounded(fit.Shortest.On)} us and the shortest off {FitText.Rounded(fit.Shortest.Off)} us, and an edge shows where these are\n# hardly longer than it is");
        text.Append(fit.Difference is null ? "\n" : "; of a beam that stays in the cup a rise and a fall that are alike show at no rate\n");
    }
}
