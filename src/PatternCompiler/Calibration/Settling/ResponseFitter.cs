using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Settling;

/// <summary>
/// Fits the response of an axis as one or two exponentials: of a jump J, J·Σ a·e^(−t/τ) is left after the wait t, averaged over the
/// visit that follows; the parts a add up to 1. Dots that are approached from opposite sides lie apart by the hysteresis, too. The
/// squares of the displacements are made least; intervals are by profile likelihood.
/// </summary>
/// <remarks>
/// Two are taken where they explain the displacements better than one would by chance once in a thousand times (F test of nested
/// models, N. R. Draper and H. Smith, Applied Regression Analysis, Wiley 1998, ch. 1 and 6, from memory), and their parameters are bounded.
/// </remarks>
internal static class ResponseFitter
{
    private const int MostReadings = 10_000;
    private const double LargestResidual = 0.5;
    private const double ByChance = 1e-3;

    // What rounding leaves of displacements that a model meets exactly.
    private const double Exact = 1e-18;
    private const int Candidates = 20;
    private const double Reach = 14;

    // Parameters beyond are where a model has run away to: nothing bounds them.
    private const double Runaway = 100;

    /// <summary>Fits readings along one axis.</summary>
    /// <param name="readings">Of one axis.</param>
    /// <param name="sink">Takes warnings.</param>
    /// <exception cref="CompileException">They tell no response.</exception>
    public static ResponseFit Fit(IReadOnlyList<SettlingReading> readings, DiagnosticSink sink)
    {
        string along = readings[0].Axis == ' ' ? "" : $" along {readings[0].Axis}";
        if (readings.Count > MostReadings)
        {
            throw new CompileException(CalibrationCodes.BadTable, $"{readings.Count} dots are too many to fit; at most {MostReadings} are fitted", fix: "fit a part of them");
        }

        bool hasPlay = readings.Any(reading => reading.IsOfBothSides);
        if (readings.Select(reading => reading.Wait).Distinct().Count() < (hasPlay ? 3 : 2))
        {
            throw new CompileException(
                CalibrationCodes.NotCovered,
                $"the dots{along} were written after {(hasPlay ? "one or two waits" : "a single wait")}, which tells nothing of how the displacement falls{(hasPlay ? " beside the hysteresis" : "")}",
                fix: "write the target with more waits");
        }

        double all = readings.Sum(reading => reading.Displacement * reading.Displacement);
        if (all == 0)
        {
            throw Hopeless(null);
        }

        NonlinearFit? one = Solve(readings, hasPlay, parts: 1), two = Solve(readings, hasPlay, parts: 2);
        NonlinearFit best = two ?? one ?? throw Hopeless(null);
        if (!(best.SumOfSquares <= LargestResidual * LargestResidual * all))
        {
            throw Hopeless(best);
        }

        string? why = WhyOneAlone(one, two, all);
        return why is null ? DescribeTwo(readings, two!, hasPlay, along, sink) : DescribeOne(readings, one ?? best, hasPlay, why);

        CompileException Hopeless(NonlinearFit? fit) => Misfit.Fault(
            CalibrationCodes.NotConverged,
            $"no settling describes these displacements{along}{(fit is null ? "" : $": the best leaves {100 * Math.Sqrt(fit.SumOfSquares / all):0} % of them (root mean square), more than {100 * LargestResidual:0} %")}",
            "look for a misread line or a wrong column",
            new("wait", [.. readings.Select(reading => reading.Wait)], "us"),
            new("displacement", [.. readings.Select(reading => reading.Displacement)], "nm"),
            rising: false);
    }

    /// <summary>True if two exponentials explain readings better than one with a dead time.</summary>
    public static bool NeedsTwo(IReadOnlyList<SettlingReading> readings, SettlingFit one)
    {
        double all = readings.Sum(reading => reading.Displacement * reading.Displacement);
        double left = one.RootMeanSquareNanometres * one.RootMeanSquareNanometres * readings.Count;
        return Solve(readings, hasPlay: false, parts: 2) is { } two && IsBetter(left, two, 1, all) && Bounds(two) is { Part: true, Slow: true };
    }

    /// <summary>Fits the readings of each axis by themselves.</summary>
    public static IReadOnlyList<ResponseFit> FitAxes(IReadOnlyList<SettlingReading> readings, DiagnosticSink sink)
    {
        var fits = new List<ResponseFit>();
        foreach (IGrouping<char, SettlingReading> axis in readings.GroupBy(reading => reading.Axis).OrderBy(axis => axis.Key))
        {
            SettlingReading[] own = [.. axis];
            try
            {
                fits.Add(Fit(own, sink));
            }
            catch (CompileException fault)
            {
                throw new CompileException(Misfit.Renumbered(fault.Diagnostic, row => own[row].Row), fault);
            }
        }

        return fits;
    }

    private static string? WhyOneAlone(NonlinearFit? one, NonlinearFit? two, double all)
    {
        if (two is null || one is not null && !IsBetter(one.SumOfSquares, two, 2, all))
        {
            return two is { DegreesOfFreedom: < 1 } ? "too few dots" : "what one leaves is no more than their error";
        }

        (bool slow, bool part) = Bounds(two);
        return slow && part ? null : "the slow part has no bounded interval: more dots after long waits would tell";
    }

    private static bool IsBetter(double before, NonlinearFit two, int more, double all) =>
        two.DegreesOfFreedom > 0 && before > Exact * all
        && NestedModels.IsBetter(before, Math.Max(two.SumOfSquares, Exact * all), more, two.DegreesOfFreedom, ByChance);

    private static (bool Slow, bool Part) Bounds(NonlinearFit two)
    {
        if (two.DegreesOfFreedom < 1 || Math.Abs(two.Parameters[1]) > Runaway || Math.Abs(two.Parameters[2]) > Runaway)
        {
            return (false, false);
        }

        (double slowLow, double slowHigh) = two.Interval(1, Reach);
        (double partLow, double partHigh) = two.Interval(2, Reach);
        return (double.IsFinite(slowLow) && double.IsFinite(slowHigh), double.IsFinite(partLow) && double.IsFinite(partHigh) && partLow * partHigh > 0 && partHigh < 1);
    }

    /// <summary>The best of a grid of time constants, refined; null where the model has no value or there are too few readings.</summary>
    private static NonlinearFit? Solve(IReadOnlyList<SettlingReading> readings, bool hasPlay, int parts)
    {
        int count = (2 * parts) - 1 + (hasPlay ? 1 : 0);
        double longest = readings.Max(reading => reading.Wait + reading.Visit), shortest = readings.Min(reading => reading.Wait + (reading.Visit / 2));
        if (readings.Count < count || !(longest > 0) || !double.IsFinite(longest))
        {
            return null;
        }

        // From far below the first wait to what hardly falls until the last.
        double first = Math.Max(shortest, longest * 1e-3) / 10, ratio = Math.Pow(30 * longest / first / 10, 1.0 / (Candidates - 1));
        double[] constants = [.. Enumerable.Range(0, Candidates).Select(i => first * Math.Pow(ratio, i))];
        var model = new ResponseModel(readings, hasPlay, parts);
        double least = double.PositiveInfinity;
        double[] start = [];
        for (int i = 0; i < Candidates; i++)
        {
            for (int j = parts == 1 ? Candidates : i + 1; j < Candidates + (parts == 1 ? 1 : 0); j++)
            {
                double[] tried = Linear(readings, hasPlay, constants[i], parts == 1 ? null : constants[j]);
                double squares = tried.All(double.IsFinite) ? model.Squares(tried) : double.NaN;
                if (squares < least)
                {
                    (least, start) = (squares, tried);
                }
            }
        }

        return start.Length > 0 && NonlinearFit.Solve(model.Evaluate, readings.Count, start) is { } fit && fit.Parameters.All(double.IsFinite) ? fit : null;
    }

    // With the time constants held, part and hysteresis are a linear problem.
    private static double[] Linear(IReadOnlyList<SettlingReading> readings, bool hasPlay, double fast, double? slow)
    {
        int unknowns = (slow is null ? 0 : 1) + (hasPlay ? 1 : 0);
        double[] known = slow is null ? [Math.Log(fast)] : [ResponseModel.Apart(fast, slow.Value), Math.Log(slow.Value)];
        if (unknowns == 0)
        {
            return known;
        }

        var design = new double[readings.Count, unknowns];
        var values = new double[readings.Count];
        for (int i = 0; i < readings.Count; i++)
        {
            SettlingReading reading = readings[i];
            double early = ResponseModel.Mean(reading, fast, out _);
            values[i] = reading.Displacement - (reading.Jump * early);
            if (slow is { } constant)
            {
                design[i, 0] = reading.Jump * (ResponseModel.Mean(reading, constant, out _) - early);
            }

            if (hasPlay)
            {
                design[i, unknowns - 1] = reading.IsOfBothSides ? 1 : 0;
            }
        }

        return [.. known, .. LinearFit.Solve(design, values).Coefficients];
    }

    private static ResponseFit DescribeOne(IReadOnlyList<SettlingReading> readings, NonlinearFit fit, bool hasPlay, string why) => new(
        readings[0].Axis, [Constant(fit, 0, "time-constant")], null, hasPlay ? Hysteresis(fit) : null)
    {
        RootMeanSquareNanometres = Math.Sqrt(fit.SumOfSquares / readings.Count),
        DegreesOfFreedom = fit.DegreesOfFreedom,
        OneAlone = why,
    };

    private static ResponseFit DescribeTwo(IReadOnlyList<SettlingReading> readings, NonlinearFit fit, bool hasPlay, string along, DiagnosticSink sink)
    {
        FitParameter fast = Fast(readings, fit, hasPlay);
        bool isFastUnseen = !(fast.Low > 0) && double.IsFinite(fast.High) && fast.High > 0;
        if (isFastUnseen)
        {
            sink.Warn(
                CalibrationCodes.FastPartUnseen,
                $"the fast part{along} was gone before the shortest wait: its time constant is at most {NumberText.Format(Math.Round(fast.High, 3))} us, which is taken",
                fix: "write the target with shorter waits, too");
            fast = fast with { Value = fast.High };
        }

        (double low, double high) = fit.Interval(2, Reach);
        return new ResponseFit(
            readings[0].Axis,
            [fast, Constant(fit, 1, "slow-time-constant")],
            ConfidenceInterval.Of("slow-part", "", fit.Parameters[2], low, high, fit.DegreesOfFreedom),
            hasPlay ? Hysteresis(fit) : null)
        {
            RootMeanSquareNanometres = Math.Sqrt(fit.SumOfSquares / readings.Count),
            DegreesOfFreedom = fit.DegreesOfFreedom,
            IsFastUnseen = isFastUnseen,
        };
    }

    // The same model, led by the other time constant: held there, it tells the interval.
    private static FitParameter Fast(IReadOnlyList<SettlingReading> readings, NonlinearFit fit, bool hasPlay)
    {
        var model = new ResponseModel(readings, hasPlay, 2) { IsLedByFast = true };
        double fast = fit.Parameters[1] - ResponseModel.Softplus(fit.Parameters[0]);

        // So fast that nothing of it is left after any wait: from there down all values are alike, and only the upper end means something.
        double unseen = Math.Log(readings.Max(reading => reading.Wait) * 1e-9 + readings.Min(reading => reading.Wait) / 30);
        if (fast < unseen)
        {
            // No longer than would still have shown: three times the error of a reading, of the longest jump after the shortest wait.
            double shown = Math.Max(3 * Math.Sqrt(fit.SumOfSquares / readings.Count), 1e-3);
            double bound = Math.Max(readings.Min(reading => reading.Wait), 1e-3) / Math.Max(1, Math.Log(readings.Max(reading => reading.Jump) / shown));
            return new FitParameter("fast-time-constant", "us", bound, bound, 0, bound);
        }

        NonlinearFit? other = NonlinearFit.Solve(
            model.Evaluate, readings.Count, [fast, fit.Parameters[0], .. fit.Parameters[2..]]);
        return other is null ? new FitParameter("fast-time-constant", "us", Math.Exp(fast), double.NaN, 0, double.PositiveInfinity) : Constant(other, 0, "fast-time-constant");
    }

    private static FitParameter Constant(NonlinearFit fit, int parameter, string name)
    {
        (double low, double high) = fit.DegreesOfFreedom > 0 ? fit.Interval(parameter, Reach) : (double.NaN, double.NaN);
        return ConfidenceInterval.Of(name, "us", Math.Exp(fit.Parameters[parameter]), Math.Exp(low), Math.Exp(high), fit.DegreesOfFreedom);
    }

    private static FitParameter Hysteresis(NonlinearFit fit)
    {
        int last = fit.Parameters.Length - 1;
        (double low, double high) = fit.DegreesOfFreedom > 0 ? fit.Interval(last, 1e6) : (double.NaN, double.NaN);
        return ConfidenceInterval.Of("hysteresis", "nm", fit.Parameters[last], low, high, fit.DegreesOfFreedom);
    }
}
