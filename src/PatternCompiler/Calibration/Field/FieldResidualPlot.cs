using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Calibration.Field;

/// <summary>Draws how far marks were found from where they were asked to be, and what a fit of the field leaves, as arrows.</summary>
internal static class FieldResidualPlot
{
    /// <summary>Composes the plot of a fit and the marks that it was made from.</summary>
    public static Plot Compose(FieldFit fit, IReadOnlyList<FieldMark> marks)
    {
        (double X, double Y)[] before = [.. marks.Select(mark => (mark.MeasuredX - mark.CommandedX, mark.MeasuredY - mark.CommandedY))];
        double largestBefore = before.Max(shift => Math.Sqrt((shift.X * shift.X) + (shift.Y * shift.Y)));
        return ShiftPlot.Compose(
            "distortion of the field and what the fit leaves",
            FactText.Join(
                $"order {fit.Polynomial.Order}",
                FactText.Count(marks.Count, "mark", "marks"),
                $"largest deviation {FactText.Length(largestBefore)}, left {FactText.Length(fit.LargestResidual)}",
                $"rms left {FactText.Length(fit.RootMeanSquare)}",
                double.IsNaN(fit.LeaveOneOutRootMeanSquare) ? "" : $"leave-one-out {FactText.Length(fit.LeaveOneOutRootMeanSquare)}"),
            "commanded",
            "measured",
            [.. marks.Select(mark => (mark.CommandedX, mark.CommandedY))],
            before,
            [.. fit.Residuals]);
    }

    /// <summary>The same of views, in which the distortion shows only together, at the marks of the first.</summary>
    public static Plot Compose(FieldFit fit, FieldViews views)
    {
        (SeenMark Mark, (double X, double Y) Left)[] shown = [.. views.Marks.Zip(fit.Residuals).Where(pair => pair.First.View == 0)];
        (double X, double Y)[] distortion = [.. shown.Select(pair =>
        {
            (double x, double y) = fit.Polynomial.Land(pair.Mark.SeenX, pair.Mark.SeenY);
            return (x - pair.Mark.SeenX, y - pair.Mark.SeenY);
        })];
        return ShiftPlot.Compose(
            "distortion of the field from views and what the fit leaves",
            FactText.Join(
                $"order {fit.Polynomial.Order}",
                FactText.Count(views.MarkCount, "mark", "marks"),
                FactText.Count(views.Names.Length, "view", "views"),
                $"largest distortion {FactText.Length(distortion.Max(shift => FieldFitter.Distance(shift.X, shift.Y)))}",
                $"rms left {FactText.Length(fit.RootMeanSquare)}",
                double.IsNaN(fit.LeaveOneOutRootMeanSquare) ? "" : $"leave-one-out {FactText.Length(fit.LeaveOneOutRootMeanSquare)}",
                $"drawn at the marks of view {views.Names[0]}"),
            "seen",
            "distortion",
            [.. shown.Select(pair => (pair.Mark.SeenX, pair.Mark.SeenY))],
            distortion,
            [.. shown.Select(pair => pair.Left)]);
    }
}
