using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Calibration.Alignment;

/// <summary>Draws how far marks were found from where they were wanted, and what the fit leaves, as arrows.</summary>
internal static class AlignmentPlot
{
    // Few marks stand far apart, and all arrows point outward.
    private const double Room = 0.5;

    /// <summary>Composes the plot of a fit.</summary>
    /// <param name="fit">The fit.</param>
    /// <param name="title">What the marks are.</param>
    /// <param name="wanted">Word for where they were to be.</param>
    /// <param name="foundWord">Word for where they were found.</param>
    public static Plot Compose(AlignmentFit fit, string title = "marks of the layer below and what the fit leaves", string wanted = "wanted", string foundWord = "found")
    {
        FittedMark[] found = [.. fit.Marks.Where(mark => mark.State != MarkState.NotFound)];
        string[] leftOut = [.. fit.Marks.Where(mark => mark.State != MarkState.Used).Select(mark => mark.Mark.Name)];
        return ShiftPlot.Compose(
            title,
            FactText.Join(
                $"{AlignmentFitter.Words(fit.Model)} through {FactText.Count(found.Count(mark => mark.State == MarkState.Used), "mark", "marks")}",
                leftOut.Length == 0 ? "" : $"left out: {string.Join(", ", leftOut)}",
                $"rms left {FactText.Length(fit.RootMeanSquareNanometres)}",
                double.IsNaN(fit.LeaveOneOutNanometres) ? "" : $"leave-one-out {FactText.Length(fit.LeaveOneOutNanometres)}"),
            wanted,
            foundWord,
            [.. found.Select(mark => (mark.Mark.WantedX, mark.Mark.WantedY))],
            [.. found.Select(mark => (mark.Mark.FoundX - mark.Mark.WantedX, mark.Mark.FoundY - mark.Mark.WantedY))],
            [.. found.Select(mark => (mark.ResidualX, mark.ResidualY))],
            Room);
    }
}
