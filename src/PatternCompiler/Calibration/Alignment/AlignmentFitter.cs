using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Alignment;

/// <summary>
/// Fits where a layer lies, wanted → found, by least squares weighted with the marks' errors. Marks that were not found, and one that
/// lies elsewhere than all others say, are left out by name.
/// </summary>
internal static class AlignmentFitter
{
    // A layer is magnified wrongly by a tenth, not by a half: common practice, no source.
    private const double SmallestScale = 0.5;
    private const double LargestScale = 2;

    // Intervals by stated errors are those of a normal distribution.
    private const int Stated = 1_000_000;

    /// <summary>Fits.</summary>
    /// <param name="marks">Marks; with errors all, or none.</param>
    /// <param name="wanted">What is fitted; null for what the marks that were found tell with one to spare.</param>
    /// <param name="sink">Takes what is left out, and doubts.</param>
    /// <exception cref="CompileException">The marks do not tell the model.</exception>
    public static AlignmentFit Fit(IReadOnlyList<AlignmentMark> marks, AlignmentModel? wanted, DiagnosticSink sink)
    {
        AlignmentMark[] found = [.. marks.Where(mark => mark.IsFound)];
        foreach (AlignmentMark mark in marks.Where(mark => !mark.IsFound))
        {
            sink.Note(CalibrationCodes.MarkNotFound, $"mark '{mark.Name}' was not found and is left out");
        }

        AlignmentModel model = wanted ?? found.Length switch { >= 4 => AlignmentModel.Affine, >= 2 => AlignmentModel.Similarity, _ => AlignmentModel.Shift };
        int needed = MarkEquations.ParametersOf(model) / 2;
        if (found.Length < needed)
        {
            throw new CompileException(
                CalibrationCodes.TooFewMeasurements,
                $"{CountText.Of(found.Length, "mark was", "marks were")} found, and {Words(model)} takes {needed}",
                fix: found.Length == 0 ? "look again, over larger windows" : "look at more marks, or fit less with --model");
        }

        bool hasErrors = !found.Any(mark => double.IsNaN(mark.ErrorX));
        AlignmentMark[] weighed = hasErrors ? found : [.. found.Select(mark => mark with { ErrorX = 1, ErrorY = 1 })];
        IReadOnlyList<int> displaced = DisplacedMarks.Of(weighed, model, hasErrors);
        AlignmentMark[] used = [.. weighed.Where((_, i) => !displaced.Contains(i))];
        var equations = new MarkEquations(used, model);
        (double xx, double xy, double yx, double yy, double offsetX, double offsetY) = equations.Map(equations.Fit.Coefficients);
        var placement = new LayerPlacement(xx, xy, offsetX, yx, yy, offsetY);
        RequireUpright(placement);
        foreach (int i in displaced)
        {
            (double x, double y) = placement.Land(found[i].WantedX, found[i].WantedY);
            sink.Warn(
                CalibrationCodes.MarkLeftOut,
                string.Create(CultureInfo.InvariantCulture, $"mark '{found[i].Name}' is left out: it lies ({found[i].FoundX - x:0.#}, {found[i].FoundY - y:0.#}) nm from where the other {used.Length} put it"),
                fix: "look at its picture; if it is sound, the mark itself is damaged or was written elsewhere");
        }

        int freedom = equations.Fit.DegreesOfFreedom;
        bool isStated = hasErrors && DisplacedMarks.IsLikely(equations.SumOfSquares, freedom);
        WarnOf(equations, used, needed, hasErrors, isStated, sink);
        return new AlignmentFit(
            model,
            placement,
            Parameters(equations, model, isStated ? 1 : freedom > 0 ? equations.SumOfSquares / freedom : double.NaN, isStated ? Stated : freedom),
            [.. marks.Select(mark => FittedOf(mark, used, equations, placement))],
            freedom,
            RootMeanSquare(used.Length, equations.Residual),
            RootMeanSquare(used.Length, equations.LeaveOneOut),
            hasErrors);
    }

    /// <summary>A model in words.</summary>
    public static string Words(AlignmentModel model) => model switch { AlignmentModel.Shift => "a shift", AlignmentModel.Similarity => "a similarity", _ => "an affine map" };

    private static void WarnOf(MarkEquations equations, AlignmentMark[] used, int needed, bool hasErrors, bool isStated, DiagnosticSink sink)
    {
        if (equations.Fit.DegreesOfFreedom == 0)
        {
            sink.Warn(
                CalibrationCodes.NoSpareMeasurement,
                $"{CountText.Of(used.Length, "mark leaves", "marks leave")} none to spare, so the quality of the alignment is unknown",
                fix: $"look at {needed + 1} marks at least; from {needed + 2} on, one that lies elsewhere is told from the others");
        }
        else if (hasErrors && !isStated)
        {
            double times = Math.Sqrt(equations.SumOfSquares / equations.Fit.DegreesOfFreedom);
            string[] suspects = DisplacedMarks.Suspects(equations, used);
            string why = suspects.Length == 0 || used.Length < needed + 2
                ? ", and no single one of them explains it"
                : $": {string.Join(" or ", suspects.Select(name => $"'{name}'"))} lies elsewhere, and these marks do not tell which";
            sink.Warn(
                CalibrationCodes.MarksDisagree,
                string.Create(CultureInfo.InvariantCulture, $"the marks scatter {times:0.#} times as much as their errors say{why}; intervals are taken from the scatter"),
                fix: used.Length < needed + 2
                    ? $"look at the residuals; from {needed + 2} marks on, one that lies elsewhere can be named"
                    : "look at the residuals and at the pictures of the marks; or the field is less well calibrated than --field-error says");
        }
    }

    private static FittedMark FittedOf(AlignmentMark mark, AlignmentMark[] used, MarkEquations equations, LayerPlacement placement)
    {
        if (!mark.IsFound)
        {
            return new(mark, MarkState.NotFound, double.NaN, double.NaN, double.NaN, double.NaN);
        }

        int index = Array.FindIndex(used, other => other.Name == mark.Name);
        if (index < 0)
        {
            (double landX, double landY) = placement.Land(mark.WantedX, mark.WantedY);
            (double offX, double offY) = (mark.FoundX - landX, mark.FoundY - landY);
            return new(mark, MarkState.Displaced, offX, offY, offX, offY);
        }

        (double x, double y) = equations.Residual(index);
        (double otherX, double otherY) = equations.LeaveOneOut(index);
        return new(mark, MarkState.Used, x, y, otherX, otherY);
    }

    // Errors of what follows from the coefficients, by their first derivatives.
    private static FitParameter[] Parameters(MarkEquations equations, AlignmentModel model, double variance, int freedom)
    {
        double[] coefficients = equations.Fit.Coefficients;
        List<(string Name, string Unit, Func<LayerPlacement, double> Value)> asked = [("offset-x", "nm", p => p.OffsetXNanometres), ("offset-y", "nm", p => p.OffsetYNanometres)];
        if (model != AlignmentModel.Shift)
        {
            asked.Add(("rotation", "deg", p => p.RotationDegrees));
        }

        if (model == AlignmentModel.Similarity)
        {
            asked.Add(("scale - 1", "", p => p.ScaleX - 1));
        }

        if (model == AlignmentModel.Affine)
        {
            asked.AddRange([("scale-x - 1", "", p => p.ScaleX - 1), ("scale-y - 1", "", p => p.ScaleY - 1), ("skew", "", p => p.Skew)]);
        }

        return [.. asked.Select(parameter => ConfidenceInterval.Symmetric(
            parameter.Name, parameter.Unit, parameter.Value(At(coefficients)), Math.Sqrt(variance * Spread(parameter.Value)), freedom))];

        double Spread(Func<LayerPlacement, double> value)
        {
            double[] slopes = [.. Enumerable.Range(0, coefficients.Length).Select(i => Slope(value, i))];
            double sum = 0;
            for (int i = 0; i < slopes.Length; i++)
            {
                for (int j = 0; j < slopes.Length; j++)
                {
                    sum += slopes[i] * equations.Fit.UnitCovariance(i, j) * slopes[j];
                }
            }

            return Math.Max(0, sum);
        }

        // A nanometre is small against the spread of marks, and large against rounding.
        double Slope(Func<LayerPlacement, double> value, int i)
        {
            double[] up = [.. coefficients], down = [.. coefficients];
            up[i]++;
            down[i]--;
            return (value(At(up)) - value(At(down))) / 2;
        }

        LayerPlacement At(double[] values)
        {
            (double xx, double xy, double yx, double yy, double x, double y) = equations.Map(values);
            return new(xx, xy, x, yx, yy, y);
        }
    }

    private static void RequireUpright(LayerPlacement placement)
    {
        string? problem = placement.Determinant <= 0
            ? "the marks were found mirrored"
            : placement.ScaleX is < SmallestScale or > LargestScale || placement.ScaleY is < SmallestScale or > LargestScale
                ? string.Create(CultureInfo.InvariantCulture, $"the marks were found {placement.ScaleX:0.###} times as far apart in x as wanted, and {placement.ScaleY:0.###} times in y")
                : null;
        if (problem is not null)
        {
            throw new CompileException(CalibrationCodes.Contradiction, problem, fix: "look for exchanged columns, another unit, or marks with each other's names");
        }
    }

    private static double RootMeanSquare(int count, Func<int, (double X, double Y)> of) =>
        Math.Sqrt(Enumerable.Range(0, count).Select(of).Average(r => r.X * r.X + r.Y * r.Y));
}
