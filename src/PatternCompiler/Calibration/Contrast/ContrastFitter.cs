using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.Contrast;

/// <summary>
/// Fits a contrast curve: a plateau, a straight slope against log10(dose), a plateau. Both kinks, and the thickness of the
/// plateau where it is not given, are those whose curve leaves the smallest sum of squares over all measurements, so nothing is
/// picked by eye and nothing by a threshold. Thicknesses carry an error of even size; intervals are by profile likelihood.
/// </summary>
internal static class ContrastFitter
{
    private const int MostMeasurements = 100_000;
    private const int FewestDosesOnSlope = 2;

    /// <summary>
    /// A curve that leaves more than this part of the thickness unexplained says nothing: a table whose thickness does not depend on
    /// dose leaves up to a half (a coin's deviation). Common practice, no source.
    /// </summary>
    private const double LargestResidual = 0.25;

    /// <summary>Fits doses (µC/cm²) against thickness after development (nm), in any order.</summary>
    /// <param name="doses">Doses of large areas.</param>
    /// <param name="thicknesses">Thicknesses.</param>
    /// <param name="initialThicknessNanometres">
    /// Thickness of unexposed resist after development (positive), or of fully retained resist (negative); null to fit it, too.
    /// </param>
    /// <param name="tone">What exposure does to the resist.</param>
    /// <param name="sink">Takes warnings.</param>
    public static ContrastFit Fit(
        IReadOnlyList<double> doses,
        IReadOnlyList<double> thicknesses,
        double? initialThicknessNanometres,
        ResistTone tone,
        DiagnosticSink sink)
    {
        double scale = initialThicknessNanometres ?? thicknesses.Max();
        RequireTable(doses, scale);

        // In one order whatever the table's, so that sums round alike.
        int[] order = [.. Enumerable.Range(0, doses.Count).OrderBy(i => doses[i]).ThenBy(i => thicknesses[i])];
        double[] sorted = [.. order.Select(i => doses[i])];
        double[] y = [.. order.Select(i => thicknesses[i] / scale)];
        double centre = sorted.Average(Math.Log10);
        RequireBothPlateausInReach(doses, y, tone);

        // The curve of a negative resist is that of a positive one seen from the other side.
        ClampedSlope Slope(ResistTone of) => new(
            [.. sorted.Select(dose => Sign(of) * (Math.Log10(dose) - centre))], y, initialThicknessNanometres is null ? null : 1);
        ClampedSlope slope = Slope(tone);
        (double top, double end, double squares) = slope.Best();
        RequireThisTone(squares, Slope(Opposite(tone)).Best().Squares, doses, thicknesses, tone);
        RequireCurve(slope, top, end, squares, doses, thicknesses, tone);
        var fit = new CurveFit(slope, sorted, y, centre, Sign(tone), initialThicknessNanometres is null);
        fit.Polish(top, end);
        if (fit.DegreesOfFreedom == 0)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                "there are as many parameters as measurements, so the contrast has no error estimate",
                fix: $"repeat the test with smaller dose steps around the {ToneWords.Of(tone).Last} dose");
        }

        return Describe(fit, scale, initialThicknessNanometres is null, tone, y.Length);
    }

    private static double Sign(ResistTone tone) => tone == ResistTone.Positive ? 1 : -1;

    private static ResistTone Opposite(ResistTone tone) => tone == ResistTone.Positive ? ResistTone.Negative : ResistTone.Positive;

    private static void RequireTable(IReadOnlyList<double> doses, double scale)
    {
        if (doses.Count > MostMeasurements)
        {
            throw new CompileException(
                CalibrationCodes.BadTable, $"{doses.Count} measurements are too many to look for a slope in; at most {MostMeasurements} are fitted", fix: "fit a part of them");
        }

        if (!(scale > 0))
        {
            throw new CompileException(
                CalibrationCodes.ImpossibleValue, "no measured thickness is above zero", fix: "measure resist that is left, or state its thickness with --initial-thickness");
        }
    }

    private static void RequireBothPlateausInReach(IReadOnlyList<double> doses, double[] y, ResistTone tone)
    {
        double exposed = tone == ResistTone.Positive ? y.Min() : 1 - y.Max();
        double unexposed = tone == ResistTone.Positive ? 1 - y.Max() : y.Min();
        if (exposed > 0.5)
        {
            throw new CompileException(
                CalibrationCodes.NotCovered,
                $"no dose changes even half of the resist (largest dose {doses.Max():0.###} uC/cm2)",
                fix: $"add larger doses, until the resist is {ToneWords.Of(tone).Complete}");
        }

        if (unexposed > 0.5)
        {
            throw new CompileException(
                CalibrationCodes.NotCovered,
                $"even the smallest dose ({doses.Min():0.###} uC/cm2) changes more than half of the resist",
                fix: "add smaller doses");
        }
    }

    private static void RequireThisTone(double squares, double otherSquares, IReadOnlyList<double> doses, IReadOnlyList<double> thicknesses, ResistTone tone)
    {
        // Curves that both describe little are no question of tone, nor is a single reading far off.
        double Miss(double sum) => Math.Sqrt(sum / doses.Count);
        if (otherSquares < squares / 4 && Miss(otherSquares) < LargestResidual / 2 && Misfit.Rises(doses, thicknesses) == (tone == ResistTone.Positive))
        {
            throw Misfit.Fault(
                CalibrationCodes.WrongTone,
                $"the thickness {(tone == ResistTone.Positive ? "rises" : "falls")} with dose, as that of a {ToneWords.Of(tone).Opposite} resist: "
                + $"the best curve of one misses the measurements by {100 * Miss(otherSquares):0.#} % of the thickness, that of the stated tone {(double.IsFinite(squares) ? $"by {100 * Miss(squares):0} %" : "fits nowhere")}",
                $"state --tone {ToneWords.Of(tone).Opposite}, or look for a wrong column",
                new("dose", doses, "uC/cm2"),
                new("thickness", thicknesses, "nm"),
                rising: tone == ResistTone.Negative);
        }
    }

    private static void RequireCurve(
        ClampedSlope slope, double top, double end, double squares, IReadOnlyList<double> doses, IReadOnlyList<double> thicknesses, ResistTone tone)
    {
        CompileException Fault(DiagnosticCode code, string problem, string fix) => Misfit.Fault(
            code, problem, fix, new("dose", doses, "uC/cm2"), new("thickness", thicknesses, "nm"), rising: tone == ResistTone.Negative);
        double residual = Math.Sqrt(squares / doses.Count);
        if (slope.Count > FewestDosesOnSlope && !(residual <= LargestResidual))
        {
            throw Fault(
                CalibrationCodes.NotConverged,
                $"the best curve misses the measurements by {100 * residual:0} % of the thickness (root mean square), more than {100 * LargestResidual:0} %: these are no thicknesses of one resist against dose",
                "look for a misread line, a wrong column or the wrong --tone");
        }

        int doseCount = slope.CountBetween(top, end);
        if (doseCount < FewestDosesOnSlope)
        {
            throw Fault(
                CalibrationCodes.NotCovered,
                $"{(doseCount == 0 ? "no dose lies" : "only one dose lies")} on the slope between the two plateaus, and it takes two to tell where it begins and ends",
                "add doses between the last unchanged and the first fully changed one, and look for a misread line");
        }
    }

    private static ContrastFit Describe(CurveFit fit, double scale, bool fitsThickness, ResistTone tone, int measurements)
    {
        FitParameter Dose(string name, bool isTop)
        {
            double value = isTop ? fit.Top : fit.End;
            (double low, double high) = fit.Interval(isTop ? fit.Slope.WithTopLeast : fit.Slope.WithEnd, value, isTop ? 0 : 1);
            (double first, double second) = (fit.DoseAt(low), fit.DoseAt(high));
            return ConfidenceInterval.Of(name, "uC/cm2", fit.DoseAt(value), Math.Min(first, second), Math.Max(first, second), fit.DegreesOfFreedom);
        }

        bool isPositive = tone == ResistTone.Positive;
        ToneWords words = ToneWords.Of(tone);
        (double narrow, double wide) = fit.Interval(fit.Slope.WithWidth, fit.End - fit.Top, -1);
        (double thin, double thick) = fitsThickness
            ? fit.Interval(height => fit.Slope.WithHeight(height, fit.Top), fit.Height, 2)
            : (fit.Height, fit.Height);
        return new ContrastFit(
            tone,
            Dose(words.First + "-dose", isPositive),
            Dose(words.Last + "-dose", !isPositive),
            ConfidenceInterval.Of("contrast", "", 1 / (fit.End - fit.Top), 1 / wide, 1 / Math.Max(0, narrow), fit.DegreesOfFreedom),
            fitsThickness
                ? ConfidenceInterval.Of("thickness", "nm", scale * fit.Height, scale * thin, scale * thick, fit.DegreesOfFreedom)
                : new FitParameter("thickness", "nm", scale, 0, scale, scale),
            Math.Sqrt(fit.SumOfSquares / measurements))
        {
            IsThicknessGiven = !fitsThickness,
            DegreesOfFreedom = fit.DegreesOfFreedom,
            Band = fit.BandHalfWidth,
        };
    }
}
