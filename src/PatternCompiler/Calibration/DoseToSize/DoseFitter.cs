using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.DoseToSize;

/// <summary>
/// Fits the energy at which a resist prints, and how far development moves edges beyond it, to a dose test. A width is where the
/// energy of the drawn feature crosses the threshold, and twice the bias; widths carry an error of even size, and all readings
/// together that of the spread. What the squares tell of the threshold counts by its own error against that of a width (generalised
/// least squares; the errors of widths and squares are estimated from each, that of the spread is stated). Intervals are by profile
/// likelihood.
/// </summary>
internal static class DoseFitter
{
    /// <summary>Standard error of ranges and ratios of a spread where none is stated, as a part of them: common practice, no source.</summary>
    public const double UsualSpreadError = 0.05;

    private const int MostReadings = 5000;

    /// <summary>Error of a width where the widths themselves cannot tell it, and the least it is taken for: common practice, no source.</summary>
    private const double UsualWidthError = 5;
    private const double SmallestWidthError = 0.5;

    /// <summary>Widths that the best fit misses by more than this are none of these features: common practice, no source.</summary>
    private const double LargestMiss = 30;

    // The error of a width has settled when it changes by no more than this part.
    private const int MostRounds = 100;
    private const double SettledError = 1e-6;

    // In logarithms of a dose.
    private const double Reach = 3;

    // Beyond so many standard errors, and so much at all, squares and widths contradict each other.
    private const double ContradictingErrors = 4;
    private const double ContradictingLogarithm = 0.08;

    /// <summary>Fits readings.</summary>
    /// <param name="readings">The readings, in the table's order.</param>
    /// <param name="spread">Spread of the process with the spot.</param>
    /// <param name="spreadError">Standard error of each of its ranges and ratios, as a part of it; 0 if they are exact.</param>
    /// <param name="tone">What exposure does to the resist.</param>
    /// <param name="sink">Takes warnings.</param>
    public static DoseFit Fit(IReadOnlyList<DoseReading> readings, SpreadFunction spread, double spreadError, ResistTone tone, DiagnosticSink sink)
    {
        if (readings.Count > MostReadings)
        {
            throw new CompileException(CalibrationCodes.BadTable, $"{readings.Count} readings are too many to fit; at most {MostReadings} are fitted", fix: "fit a part of them");
        }

        int[] rows = [.. Enumerable.Range(0, readings.Count).Where(i => !double.IsNaN(readings[i].WidthNanometres))];
        var error = new SpreadError(spread, spreadError);
        SquareReadings? squares = SquaresOf(readings, spread, error, tone, rows.Length > 0, sink);
        if (rows.Length == 0)
        {
            return OfSquares(readings, spread, spreadError, tone, squares ?? throw new CompileException(
                CalibrationCodes.TooFewMeasurements, "the table holds neither squares nor widths", fix: "add squares with what was left in their middles, or widths of bars and gaps"));
        }

        RequireRising(readings, rows);
        var model = new WidthModel([.. rows.Select(i => readings[i])], spread, error);
        NonlinearFit widths = OfWidths(model, rows.Length);
        double miss = model.RootMeanSquare(widths.Parameters);
        if (miss > LargestMiss)
        {
            throw Worst(readings, rows, model, widths.Parameters[0], $"the best threshold and bias miss the widths by {miss:0} nm (root mean square), more than {LargestMiss:0} nm");
        }

        NonlinearFit fit = widths;
        RequireAgreement(model, widths, squares);
        if (squares is { Tells: true })
        {
            model.Add(squares, double.IsNaN(squares.LogError) ? ContradictingLogarithm : Math.Max(squares.LogError, 1e-4));
            fit = NonlinearFit.Solve(model.Evaluate, model.RowCount, widths.Parameters, -1, SmallestWidthError * SmallestWidthError) ?? throw OutOfReach();
        }

        return Describe(readings, spread, tone, rows.Length, model.RootMeanSquare(fit.Parameters), fit, sink) with
        {
            Contrast = squares?.Contrast,
            SpreadError = spreadError,
        };
    }

    // The error of a width says how much the spread may be taken to be off, and what is then missed is that error: what is missed
    // rises with it, but ever more slowly, so that the rounds come to an end.
    private static NonlinearFit OfWidths(WidthModel model, int count)
    {
        var start = new double[model.ParameterCount];
        start[0] = Enumerable.Range(0, count).Select(model.LogThresholdOf).Order().ElementAt(count / 2);
        model.WidthError = UsualWidthError;
        for (int round = 0; ; round++)
        {
            NonlinearFit widths = NonlinearFit.Solve(model.Evaluate, model.RowCount, start, count < WidthModel.OwnParameters ? 1 : -1, SmallestWidthError * SmallestWidthError) ?? throw OutOfReach();
            double error = widths.DegreesOfFreedom > 0 ? Math.Sqrt(widths.Variance) : UsualWidthError;
            if (Math.Abs(error - model.WidthError) <= SettledError * error || round == MostRounds)
            {
                return widths;
            }

            model.WidthError = error;
            start = widths.Parameters;
        }
    }

    /// <summary>How a measured width grows with the bias.</summary>
    internal static double BiasSign(DoseFeature feature) => feature.Kind == DoseFeatureKind.Gap ? -2 : 2;

    // With widths at hand, squares that tell nothing are no reason to refuse.
    private static SquareReadings? SquaresOf(IReadOnlyList<DoseReading> readings, SpreadFunction spread, SpreadError spreadError, ResistTone tone, bool hasWidths, DiagnosticSink sink)
    {
        try
        {
            return SquareReadings.Of(readings, spread, spreadError, tone, sink);
        }
        catch (CompileException fault) when (hasWidths && (fault.Diagnostic.Code == CalibrationCodes.NotCovered
            || fault.Diagnostic.Code == CalibrationCodes.TooFewMeasurements || fault.Diagnostic.Code == CalibrationCodes.ImpossibleValue))
        {
            sink.Warn(CalibrationCodes.SquaresTellNothing, $"the squares tell nothing of the threshold: {fault.Diagnostic.Message}", fix: fault.Diagnostic.Fix);
            return null;
        }
    }

    private static DoseFit OfSquares(IReadOnlyList<DoseReading> readings, SpreadFunction spread, double spreadError, ResistTone tone, SquareReadings squares)
    {
        if (!squares.Tells)
        {
            bool isTooLow = double.IsInfinity(squares.High);
            string verb = ToneWords.Of(tone).Print + "s";
            throw new CompileException(
                CalibrationCodes.NoReadingNearThreshold,
                isTooLow
                    ? $"no square {verb}, up to {squares.Low:0.###} uC/cm2 in its middle: the threshold lies somewhere above"
                    : $"every square {verb}, down to {squares.High:0.###} uC/cm2 in its middle: the threshold lies somewhere below",
                fix: $"write the test again with {(isTooLow ? "larger" : "smaller")} doses, or add widths of bars and gaps");
        }

        // The spread's error widens both sides in quadrature.
        double value = Math.Exp(squares.LogThreshold);
        double ofSpread = Math.Sqrt(squares.SpreadSlopes.Sum(slope => slope * slope));
        double Side(double end) => Math.Exp(SquareReadings.Hypotenuse(Math.Log(end / value), SquareReadings.NormalHalfWidths * ofSpread));
        return new DoseFit(
            tone,
            new FitParameter("threshold", "uC/cm2", value, value * SquareReadings.Hypotenuse(squares.LogError, ofSpread), value / Side(squares.Low), value * Side(squares.High)),
            null, 0, double.NaN, FeaturesOf(readings, spread, 0)) { Contrast = squares.Contrast, SpreadError = spreadError };
    }

    // Widths of bars grow with dose and gaps shrink, whatever the tone.
    private static void RequireRising(IReadOnlyList<DoseReading> readings, int[] rows)
    {
        double against = 0;
        double along = 0;
        foreach (IGrouping<DoseFeature, int> group in rows.GroupBy(i => readings[i].Feature))
        {
            int[] members = [.. group];
            double sign = group.Key.Kind == DoseFeatureKind.Gap ? -1 : 1;
            for (int a = 0; a < members.Length; a++)
            {
                for (int b = a + 1; b < members.Length; b++)
                {
                    double product = sign * (readings[members[a]].Dose - readings[members[b]].Dose).CompareTo(0) * (readings[members[a]].WidthNanometres - readings[members[b]].WidthNanometres);
                    along += Math.Max(0, product);
                    against += Math.Max(0, -product);
                }
            }
        }

        if (against > 2 * along)
        {
            throw new CompileException(
                CalibrationCodes.Contradiction,
                "bars become narrower and gaps wider with dose, but what is exposed grows with dose in a resist of either tone",
                fix: "look for exchanged columns, for bars that are named gaps, and for widths of what was left instead of what was drawn");
        }
    }

    // By what the widths miss with the nearest threshold that the squares allow: a few widths of one kind hold a threshold far off nearly as well
    // as the best, though the slopes there do not tell.
    private static void RequireAgreement(WidthModel model, NonlinearFit widths, SquareReadings? squares)
    {
        if (squares is null || widths.DegreesOfFreedom <= 0 || squares.Apart(widths.Parameters[0]) <= ContradictingLogarithm)
        {
            return;
        }

        double[] start = [.. widths.Parameters];
        start[0] = squares.Nearest(widths.Parameters[0], ContradictingErrors);
        double missed = NonlinearFit.Solve(model.Evaluate, model.RowCount, start, held: 0)?.SumOfSquares ?? double.PositiveInfinity;
        if (missed - widths.SumOfSquares > ContradictingErrors * ContradictingErrors * widths.Variance)
        {
            throw new CompileException(
                CalibrationCodes.Contradiction,
                $"the squares print {squares.Where}, but the widths at {Math.Exp(widths.Parameters[0]):0.###} uC/cm2",
                fix: "the spread of the process file or the spot is not that of the test, or the widths are in another unit; 'patternc fit spread' measures the spread");
        }
    }

    private static CompileException OutOfReach() => new(
        CalibrationCodes.NotConverged,
        "the measured edges lie where no electron of the spread goes, so no threshold and bias explain the widths",
        fix: "look for a wrong column or unit, or a spread that is not this resist's");

    private static CompileException Worst(IReadOnlyList<DoseReading> readings, int[] rows, WidthModel model, double logThreshold, string problem)
    {
        int worst = Enumerable.Range(0, rows.Length).MaxBy(i => Math.Abs(model.LogThresholdOf(i) - logThreshold));
        DoseReading reading = readings[rows[worst]];
        return new CompileException(new Diagnostic(
            CalibrationCodes.NotConverged,
            Severity.Error,
            $"{problem} (measurement {rows[worst] + 1}, {reading.Feature.Name} at {reading.Dose:0.###} uC/cm2 and {reading.WidthNanometres:0.#} nm, stands most against the others)",
            Fix: "look for a misread line, a wrong column, or a spread that is not this resist's")
        {
            Measurement = rows[worst],
        });
    }

    private static DoseFit Describe(
        IReadOnlyList<DoseReading> readings, SpreadFunction spread, ResistTone tone, int widths, double miss, NonlinearFit fit, DiagnosticSink sink)
    {
        int spare = fit.DegreesOfFreedom;
        if (spare < 0)
        {
            throw new CompileException(
                CalibrationCodes.TooFewMeasurements,
                "one width cannot determine both the threshold and the bias",
                fix: "measure widths at several doses, or add squares with what was left in their middles");
        }

        if (spare == 0)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                "there are as many parameters as measurements, so nothing is known of their error",
                fix: "measure more widths");
        }

        double value = Math.Exp(fit.Parameters[0]);
        (double low, double high) = spare > 0 ? fit.Interval(0, Reach) : (double.NaN, double.NaN);
        (double narrow, double wide) = spare > 0 ? fit.Interval(1, 10_000) : (double.NaN, double.NaN);
        FitParameter threshold = ConfidenceInterval.Of("threshold", "uC/cm2", value, Math.Exp(low), Math.Exp(high), spare);
        FitParameter bias = ConfidenceInterval.Of("bias", "nm", fit.Parameters[1], narrow, wide, spare);
        return new DoseFit(tone, threshold, bias, widths, miss, FeaturesOf(readings, spread, bias.Value));
    }

    // The drawing is made narrower by the bias, so that what development adds leads back to it.
    private static ImmutableArray<FeatureDose> FeaturesOf(IReadOnlyList<DoseReading> readings, SpreadFunction spread, double bias) =>
    [
        .. readings.Select(reading => reading.Feature).Distinct().Select(feature => new FeatureDose(
            feature,
            1 / (2 * feature.EdgeEnergy(spread, bias)),
            feature.PrintedWidth(spread, 0.5, bias) + (BiasSign(feature) * bias) - feature.DrawnNanometres)),
    ];
}
