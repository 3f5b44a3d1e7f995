using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.BlankerCurrent;

/// <summary>
/// Fits a blanker to mean currents, without a resist. A shift of both edges of the line by the same time changes no mean, so a beam that stays
/// in the cup tells the difference of the delays alone; where the deflection takes it out of the cup, or into it, as the line turns it off,
/// each delay shows by itself, against the deflection. Rise and fall are fitted where they explain the readings better than chance would
/// once in a thousand tables.
/// </summary>
internal static class BlankerCurrentFitter
{
    private const double ByChance = 1e-3;
    private const int MostStarts = 4;
    private const double StartFactor = 3;

    // What a fit leaves of exact readings is rounding.
    private const double LeastVariance = 1e-24;

    // Readings of which the model leaves more than this part of the current, as a root mean square, are of something else.
    private const double LargestResidual = 0.1;
    private const double ReachMicroseconds = 1e6;
    private const double ReachLog = 12;

    /// <summary>Fits readings.</summary>
    public static BlankerCurrentFit Fit(CupReading[] readings, DiagnosticSink sink)
    {
        double scale = readings.Max(reading => Math.Abs(reading.Picoamperes));
        BlankerModel plain = Told(readings, sink);
        if (!(scale > 0))
        {
            throw new CompileException(CalibrationCodes.NotCovered, "all currents are zero", fix: "look for the meter's range and for the beam in the cup");
        }

        if (readings.Length < plain.Count)
        {
            throw new CompileException(
                CalibrationCodes.TooFewMeasurements, $"{readings.Length} readings cannot determine {plain.Count} parameters", fix: $"read at least {plain.Count + 1} currents");
        }

        (BlankerModel model, NonlinearFit fit) = Best(plain, readings, scale);
        Require(fit, model, readings, scale);
        if (fit.DegreesOfFreedom == 0)
        {
            sink.Warn(CalibrationCodes.NoSpareMeasurement, "as many readings as parameters, so nothing is known of their error", fix: "read currents at more rates");
        }

        return Describe(fit, model, readings, scale);
    }

    /// <summary>What readings tell by where the beam was and how the line was switched.</summary>
    private static BlankerModel Told(CupReading[] readings, DiagnosticSink sink)
    {
        bool leaves = readings.Any(reading => reading.Deflection == CupDeflection.Leaves);
        bool enters = readings.Any(reading => reading.Deflection == CupDeflection.Enters);
        CupReading[] held = [.. readings.Where(reading => reading.Deflection == CupDeflection.Held && !reading.IsSteady)];
        bool hasRates = held.Select(reading => reading.PeriodMicroseconds).Distinct().Count() > 1
            || (held.Length > 0 && readings.Any(reading => reading.IsSteady && reading.OnMicroseconds > 0));
        if (!leaves && !enters && !hasRates)
        {
            throw new CompileException(
                CalibrationCodes.NotCovered,
                "the readings tell no delay: the line was switched at one rate alone, or not at all",
                fix: "read the current at several rates, or at one and with the beam always on");
        }

        double[] duties = [.. readings.Where(reading => reading.Deflection == CupDeflection.Held).Select(reading => reading.Duty).Distinct()];
        bool hasLeak = (duties.Length > 0 && duties.Max() - duties.Min() > 0.05) || (leaves && enters);
        if (!hasLeak)
        {
            sink.Warn(
                CalibrationCodes.LeakNotTold,
                "the readings do not tell a leak from a smaller current: it is taken to be none",
                fix: "read the current with the beam always off, too, or at another part of the time on");
        }

        return new BlankerModel(hasLeak, leaves || (enters && hasRates), enters || hasRates, false, false);
    }

    private static (BlankerModel, NonlinearFit) Best(BlankerModel plain, CupReading[] readings, double scale)
    {
        (BlankerModel Model, NonlinearFit Fit) best = (plain, Solve(plain, readings, scale, null)
            ?? throw new CompileException(CalibrationCodes.NotConverged, "no delays describe the currents", fix: "look for a misread line, or a unit other than the header says"));
        while (true)
        {
            (BlankerModel Model, NonlinearFit Fit)? better = null;
            foreach (BlankerModel wider in Wider(best.Model))
            {
                if (readings.Length > wider.Count && Solve(wider, readings, scale, best) is { } tried
                    && IsBetter(best.Fit, tried) && (better is null || tried.SumOfSquares < better.Value.Fit.SumOfSquares))
                {
                    better = (wider, tried);
                }
            }

            if (better is null)
            {
                return best;
            }

            best = better.Value;
        }

        // One edge after the other, or both at once: alike, they show only together.
        static IEnumerable<BlankerModel> Wider(BlankerModel model)
        {
            if (!model.HasRise)
            {
                yield return model with { HasRise = true };
            }

            if (!model.HasFall)
            {
                yield return model with { HasFall = true };
            }

            if (!model.HasRise && !model.HasFall)
            {
                yield return model with { HasRise = true, HasFall = true };
            }
        }
    }

    private static bool IsBetter(NonlinearFit narrow, NonlinearFit wide) => NestedModels.IsBetter(
        narrow.SumOfSquares,
        Math.Max(wide.SumOfSquares, LeastVariance * wide.DegreesOfFreedom),
        wide.Parameters.Length - narrow.Parameters.Length,
        wide.DegreesOfFreedom,
        ByChance);

    private static NonlinearFit? Solve(BlankerModel model, CupReading[] readings, double scale, (BlankerModel Model, NonlinearFit Fit)? from)
    {
        double shortest = readings.Where(reading => !reading.IsSteady).Min(reading => Math.Min(reading.OnMicroseconds, reading.OffMicroseconds));
        NonlinearFit? best = null;
        int edges = (model.HasRise ? 1 : 0) + (model.HasFall ? 1 : 0);
        for (int first = 0; first < (edges > 0 ? MostStarts : 1); first++)
        {
            for (int second = 0; second < (edges > 1 ? MostStarts : 1); second++)
            {
                double[] start = Start(model, readings, scale);
                start[0] = from?.Fit.Parameters[0] ?? start[0];
                Take(model.HasLeak, model.Leak, known => known.Leak);
                Take(model.HasOnDelay, model.OnDelay, known => known.OnDelay);
                Take(model.HasOffDelay, model.OffDelay, known => known.OffDelay);
                double a = Math.Log(shortest * Math.Pow(StartFactor, first - MostStarts + 1)), b = Math.Log(shortest * Math.Pow(StartFactor, second - MostStarts + 1));
                if (model.HasRise)
                {
                    start[model.Rise] = a;
                }

                if (model.HasFall)
                {
                    start[model.Fall] = model.HasRise ? b : a;
                }

                if (NonlinearFit.Solve(model.Residuals(readings, scale), readings.Length, start, leastVariance: LeastVariance) is { } fit
                    && fit.Parameters.All(double.IsFinite) && !(best?.SumOfSquares <= fit.SumOfSquares))
                {
                    best = fit;
                }

                void Take(bool has, int at, Func<BlankerModel, int> known)
                {
                    if (has && from is { } earlier)
                    {
                        start[at] = earlier.Fit.Parameters[known(earlier.Model)];
                    }
                }
            }
        }

        return best;
    }

    /// <summary>Where the search begins: what periods lose while the beam leaves, and gain while it enters, as if nothing leaked.</summary>
    private static double[] Start(BlankerModel model, CupReading[] readings, double scale)
    {
        var start = new double[model.Count];
        CupReading longest = readings.Where(reading => reading.Deflection == CupDeflection.Held).DefaultIfEmpty().MaxBy(reading => reading.Duty);
        start[0] = longest.PeriodMicroseconds > 0 && longest.OnMicroseconds > 0 ? longest.Picoamperes / scale / longest.Duty : 1;
        double Lost(CupReading reading) => reading.OnMicroseconds - reading.Picoamperes / scale / start[0] * reading.PeriodMicroseconds;
        double Gained(CupReading reading) => reading.Picoamperes / scale / start[0] * reading.PeriodMicroseconds;
        double onDelay = Middle(CupDeflection.Leaves, Lost), offDelay = Middle(CupDeflection.Enters, Gained);
        if (model.HasOnDelay)
        {
            start[model.OnDelay] = onDelay > 0 ? onDelay : offDelay;
        }

        if (model.HasOffDelay)
        {
            start[model.OffDelay] = offDelay > 0 || !model.HasOnDelay ? offDelay : onDelay;
        }

        return start;

        double Middle(CupDeflection deflection, Func<CupReading, double> delay)
        {
            double[] all = [.. readings.Where(reading => reading.Deflection == deflection).Select(delay).Order()];
            return all.Length > 0 ? Math.Max(all[all.Length / 2], 1e-3 * readings.Where(reading => !reading.IsSteady).Min(reading => reading.OnMicroseconds)) : 0;
        }
    }

    private static void Require(NonlinearFit fit, BlankerModel model, CupReading[] readings, double scale)
    {
        if (!(fit.Parameters[0] > 0))
        {
            throw new CompileException(
                CalibrationCodes.Contradiction, "the current falls the longer the beam is on", fix: "look for exchanged columns, or give currents the sign with which the beam counts as positive");
        }

        double left = Math.Sqrt(fit.SumOfSquares / readings.Length) / fit.Parameters[0];
        if (left > LargestResidual)
        {
            double[] missed = [.. readings.Select(reading => Math.Abs(reading.Picoamperes / scale - model.At(fit.Parameters, reading)))];
            int worst = Array.IndexOf(missed, missed.Max());
            throw new CompileException(new Diagnostic(
                CalibrationCodes.NotConverged, Severity.Error,
                FormattableString.Invariant($"delays and edges leave {100 * left:0} % of the current (root mean square), more than {100 * LargestResidual:0} %; measurement {worst + 1} is furthest off"),
                Fix: "look for a misread line, exchanged columns, or a unit other than the header says") { Measurement = readings[worst].Row });
        }
    }

    private static BlankerCurrentFit Describe(NonlinearFit fit, BlankerModel model, CupReading[] readings, double scale)
    {
        double[] p = fit.Parameters;
        int spare = fit.DegreesOfFreedom;
        FitParameter? delay = model.HasOffDelay ? Parameter("off-delay", model.OffDelay, "us", 1, ReachMicroseconds) : null;
        FitParameter? onDelay = model.HasOnDelay ? Parameter("on-delay", model.OnDelay, "us", 1, ReachMicroseconds) : null;
        var result = new BlankerCurrentFit(Parameter("current", 0, "pA", scale, 100))
        {
            Leak = model.HasLeak ? Parameter("leak", model.Leak, "%", 100, 100) : null,
            OnDelay = onDelay,
            OffDelay = onDelay is not null || !IsDifference(readings) ? delay : null,
            Difference = onDelay is null && IsDifference(readings) && delay is { } difference ? difference with { Name = "off-delay - on-delay" } : null,
            Rise = model.HasRise ? Edge("rise-time", model.Rise) : null,
            Fall = model.HasFall ? Edge("fall-time", model.Fall) : null,
            RootMeanSquarePicoamperes = scale * Math.Sqrt(fit.SumOfSquares / readings.Length),
            Readings = [.. readings.Select(reading => (reading, scale * model.At(p, reading)))],
            Shortest = (
                readings.Where(reading => !reading.IsSteady).Min(reading => reading.OnMicroseconds),
                readings.Where(reading => !reading.IsSteady).Min(reading => reading.OffMicroseconds)),
        };
        foreach (FitParameter? one in (FitParameter?[])[result.OnDelay, result.OffDelay])
        {
            if (one is { High: < 0 } below)
            {
                throw new CompileException(
                    CalibrationCodes.Contradiction, FormattableString.Invariant($"the {below.Name} comes out as {below.Value:G3} us, and no delay is below zero"), fix: "look for exchanged columns: 'leaves' and 'enters', on and off");
            }
        }

        return result;

        FitParameter Parameter(string name, int at, string unit, double times, double reach)
        {
            (double low, double high) = spare > 0 ? fit.Interval(at, reach) : (double.NaN, double.NaN);
            return ConfidenceInterval.Of(name, unit, times * p[at], times * low, times * high, spare);
        }

        FitParameter Edge(string name, int at)
        {
            (double low, double high) = spare > 0 ? fit.Interval(at, ReachLog) : (double.NaN, double.NaN);
            double Time(double log) => BlankerEdges.TimePerConstant * Math.Exp(log);
            return ConfidenceInterval.Of(name, "us", Time(p[at]), Time(low), Time(high), spare);
        }
    }

    // With the beam always in the cup, and with nothing but it leaving, the two delays are one number.
    private static bool IsDifference(CupReading[] readings) => readings.All(reading => reading.Deflection == CupDeflection.Held);
}
