using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Pictures;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Waveforms;

/// <summary>
/// Finds delay, gain and offset of a measured trace by least squares: for every delay that leaves half of the trace within the course, gain and
/// offset follow directly, and the delay that leaves least is refined between its neighbours.
/// </summary>
/// <param name="course">What is expected.</param>
/// <param name="name">Name of the table, for messages.</param>
/// <param name="triggerSeconds">Where the scope's time 0 lies in the exposure's time, by its trigger.</param>
internal sealed class TraceComparer(ExpectedCourse course, string name, double triggerSeconds)
{
    // Delays are looked for on this many samples of the trace, evenly picked, and gain and offset found on all of them.
    private const int SamplesOfSearch = 1000;
    private const int DelaysOfSearch = 2000;
    private const int Refinements = 40;
    private const double LeastCorrelation = 0.5;
    private const double LargestMove = 0.5;
    private const int FewestSamples = 16;
    private const double DoubtfulPart = 0.05;
    private const int MostMinima = 16;

    /// <summary>
    /// Compares all traces of a table. A line that is not expected to move within the window tells nothing; its trace is laid over with the delay
    /// of the first one that does.
    /// </summary>
    /// <exception cref="CompileException">A trace tells nothing: constant, too coarse, outside the window, or unlike what is expected.</exception>
    public (ImmutableArray<TraceComparison> Comparisons, ImmutableArray<PlacedTrace> Placed) CompareAll(ImmutableArray<MeasuredTrace> traces)
    {
        ImmutableArray<TraceComparison> found = [.. traces.Where(Moves).Select(Compare)];
        return found.IsEmpty
            ? throw Unfit("no line that was measured is expected to move within the window", "choose a window in which one moves")
            : (found, [.. traces.Select(trace => Place(trace, found.FirstOrDefault(each => each.Line == WordOf(trace.Line) && each.Channel == trace.Name), found[0].DelaySeconds))]);
    }

    private bool Moves(MeasuredTrace trace)
    {
        double[] seconds = InExposure(trace);
        RequireOverlap(trace, seconds);
        var expected = new double[seconds.Length];
        course.Fill(trace.Line, seconds, expected);
        double first = expected.FirstOrDefault(double.IsFinite);
        return expected.Any(value => double.IsFinite(value) && value != first);
    }

    private double[] InExposure(MeasuredTrace trace) => [.. trace.Seconds.Select(time => time + triggerSeconds)];

    private void RequireOverlap(MeasuredTrace trace, double[] seconds)
    {
        if (seconds[0] >= course.ToSeconds || seconds[^1] <= course.FromSeconds)
        {
            throw Unfit(
                $"the trace of {trace.Name} runs from {Time(seconds[0])} to {Time(seconds[^1])} of the exposure, and the window from {Time(course.FromSeconds)} to {Time(course.ToSeconds)}: they have no time in common",
                "say with --trigger where the scope's time 0 lies in the exposure, or choose another window");
        }
    }

    private TraceComparison Compare(MeasuredTrace trace)
    {
        double[] seconds = InExposure(trace);
        double spacing = (seconds[^1] - seconds[0]) / Math.Max(1, seconds.Length - 1);
        Require(seconds.Length >= FewestSamples, $"has {CountText.Of(seconds.Length, "sample", "samples")}, and {FewestSamples} are needed", "save more of it");
        Require(trace.Volts.Max() > trace.Volts.Min(), "is constant", "put the probe on the line, and trigger while it moves");
        Require(
            MoveBetweenSamples(trace.Line, seconds) <= LargestMove,
            $"has a sample every {Time(spacing)}, between which the line moves by more than half of what it moves over all",
            "sample faster, or choose a window in which the line moves slower");

        double found = Delay(trace, seconds, spacing)
            ?? throw Unfit($"the trace of {trace.Name} does not look like what is expected, at any delay", "check which channel is on which line, and the window");
        LineFit fit = Fit(trace.Line, seconds, trace.Volts.AsSpan(), found);
        Require(fit.Count > 0, "is constant where it overlaps the window", "choose a window in which the line moves");
        return Describe(trace, seconds, found, fit);

        void Require(bool holds, string fault, string fix)
        {
            if (!holds)
            {
                throw Unfit($"the trace of {trace.Name} {fault}", fix);
            }
        }
    }

    // Root mean square of what is expected to change from sample to sample, over the deviation of all.
    private double MoveBetweenSamples(TraceLine line, double[] seconds)
    {
        var expected = new double[seconds.Length];
        course.Fill(line, seconds, expected);
        (double sum, double squares, double moves, int count) = (0, 0, 0, 0);
        double first = expected.FirstOrDefault(double.IsFinite);
        for (int i = 1; i < expected.Length; i++)
        {
            double value = expected[i] - first;
            if (double.IsFinite(value) && double.IsFinite(expected[i - 1]))
            {
                double move = expected[i] - expected[i - 1];
                (sum, squares, moves, count) = (sum + value, squares + value * value, moves + move * move, count + 1);
            }
        }

        double variance = count > 0 ? squares / count - sum / count * (sum / count) : 0;
        return variance > 0 ? Math.Sqrt(moves / count / variance) : 0;
    }

    /// <summary>
    /// The delay that leaves least; of several that leave about as little, as in rows that repeat themselves, the shortest. Null where none explains
    /// a good part of the trace.
    /// </summary>
    private double? Delay(MeasuredTrace trace, double[] seconds, double spacing)
    {
        double reach = (seconds[^1] - seconds[0]) / 2;
        double step = Math.Max(spacing, 2 * reach / DelaysOfSearch);
        int stride = Math.Max(1, seconds.Length / SamplesOfSearch);
        double[] some = [.. seconds.Where((_, i) => i % stride == 0)];
        double[] someVolts = [.. trace.Volts.Where((_, i) => i % stride == 0)];
        int most = (int)(reach / step);
        double[] rest = [.. Enumerable.Range(-most, 2 * most + 1).Select(i => Fit(trace.Line, some, someVolts, i * step).Unexplained)];
        int best = Enumerable.Range(0, rest.Length).MinBy(i => Left((i - most) * step));
        if (rest[best] > 1 - LeastCorrelation * LeastCorrelation)
        {
            return null;
        }

        // Between two delays that were tried, the least may be much deeper than at either.
        double found = Enumerable.Range(0, rest.Length)
            .Where(i => rest[i] <= Math.Max(4 * rest[best], DoubtfulPart) && (i == 0 || rest[i] <= rest[i - 1]) && (i == rest.Length - 1 || rest[i] <= rest[i + 1]))
            .Select(i => (i - most) * step)
            .OrderBy(Math.Abs)
            .Take(MostMinima)
            .DefaultIfEmpty((best - most) * step)
            .Select(delay => Refine(trace.Line, some, someVolts, delay, step))
            .MinBy(Left);
        return stride > 1 && Jumps(trace.Line, seconds) ? new EdgeDelay(course, trace, seconds, spacing).Near(found, step) : found;

        // What a delay moves out of the window it does not explain: else the best one would be where least is seen.
        double Left(double delay)
        {
            LineFit fit = Fit(trace.Line, some, someVolts, delay);
            double seen = fit.Count / (double)some.Length;
            return fit.Count == 0 ? double.PositiveInfinity : seen * fit.Unexplained + 1 - seen;
        }
    }

    // From level to level between two samples: the few that were picked then tell no delay to less than their distance.
    private bool Jumps(TraceLine line, double[] seconds)
    {
        var expected = new double[seconds.Length];
        course.Fill(line, seconds, expected);
        double[] known = [.. expected.Where(double.IsFinite)];
        double half = known.Length == 0 ? double.PositiveInfinity : (known.Max() - known.Min()) / 2;
        return Enumerable.Range(1, Math.Max(0, expected.Length - 1)).Any(i => Math.Abs(expected[i] - expected[i - 1]) > half);
    }

    // Golden section between the neighbours of the best delay.
    private double Refine(TraceLine line, double[] seconds, double[] volts, double best, double step)
    {
        double ratio = (Math.Sqrt(5) - 1) / 2;
        (double low, double high) = (best - step, best + step);
        for (int i = 0; i < Refinements; i++)
        {
            double a = high - ratio * (high - low);
            double b = low + ratio * (high - low);
            (low, high) = Fit(line, seconds, volts, a).Unexplained <= Fit(line, seconds, volts, b).Unexplained ? (low, b) : (a, high);
        }

        return (low + high) / 2;
    }

    private LineFit Fit(TraceLine line, ReadOnlySpan<double> seconds, ReadOnlySpan<double> volts, double delay) => Fit(course, line, seconds, volts, delay);

    /// <summary>What is expected, so much later, against what was measured.</summary>
    public static LineFit Fit(ExpectedCourse course, TraceLine line, ReadOnlySpan<double> seconds, ReadOnlySpan<double> volts, double delay)
    {
        var moved = new double[seconds.Length];
        for (int i = 0; i < moved.Length; i++)
        {
            moved[i] = seconds[i] - delay;
        }

        var expected = new double[moved.Length];
        course.Fill(line, moved, expected);
        return LineFit.Of(expected, volts);
    }

    private TraceComparison Describe(MeasuredTrace trace, double[] seconds, double delay, in LineFit fit)
    {
        double[] moved = [.. seconds.Select(time => time - delay)];
        var expected = new double[moved.Length];
        course.Fill(trace.Line, moved, expected);
        double largest = 0;
        (double from, double length) = (0, 0);
        double since = double.NaN;
        for (int i = 0; i < moved.Length; i++)
        {
            double rest = double.IsNaN(expected[i]) ? 0 : Math.Abs(trace.Volts[i] - fit.Offset - fit.Gain * expected[i]);
            largest = Math.Max(largest, rest);
            if (rest > 3 * fit.Rms && fit.Rms > 0)
            {
                since = double.IsNaN(since) ? moved[i] : since;
                if (moved[i] - since > length)
                {
                    (from, length) = (since, moved[i] - since);
                }
            }
            else
            {
                since = double.NaN;
            }
        }

        return new TraceComparison(WordOf(trace.Line), trace.Name, delay, fit.Gain, fit.Offset, fit.Rms, largest, length, from, fit.Count);
    }

    private PlacedTrace Place(MeasuredTrace trace, TraceComparison? found, double usualDelay)
    {
        double delay = found?.DelaySeconds ?? usualDelay;
        string facts = found is null
            ? $"{WordOf(trace.Line)} measured: not compared, not expected to move"
            : $"{found.Line} measured: {FactText.Time(Math.Abs(delay))} {(delay < 0 ? "early" : "late")}, gain {FactText.Round(found.Gain)}, offset {Volts(found.OffsetVolts)}, {Volts(found.RmsVolts)} rms left";

        // The level of a line that was not compared is not known.
        bool isLevel = trace.Line is TraceLine.Blank or TraceLine.ScanEnable;
        return new PlacedTrace(trace.Line, facts, found is null && isLevel ? [] : Pieces(
            [.. InExposure(trace).Select(time => time - delay)],
            found is null ? trace.Volts : [.. trace.Volts.Select(volts => (volts - found.OffsetVolts) / found.Gain)]));
    }

    private CompileException Unfit(string message, string fix) => new(PredictionCodes.UnfitTrace, message, new SourcePlace(name), fix);

    private static string WordOf(TraceLine line) => line switch
    {
        TraceLine.X => "x",
        TraceLine.Y => "y",
        TraceLine.Blank => "blank",
        _ => "scan",
    };

    private static ImmutableArray<(double From, double To, Envelope Course)> Pieces(double[] seconds, ImmutableArray<double> volts)
    {
        var pieces = ImmutableArray.CreateBuilder<(double, double, Envelope)>(seconds.Length - 1);
        for (int i = 1; i < seconds.Length; i++)
        {
            pieces.Add((seconds[i - 1], seconds[i], Envelope.Between(volts[i - 1], volts[i])));
        }

        return pieces.MoveToImmutable();
    }

    private static string Time(double seconds) => QuantityText.Format(seconds, Dimension.Time);

    private static string Volts(double volts) => FactText.Voltage(volts);
}
