using System.Globalization;
using System.Text;
using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Results;

/// <summary>Prints where a layer lies as the section of a job file that places the next one on it.</summary>
internal static class AlignmentText
{
    private const int NanometreDecimals = 3;

    // A billionth is a tenth of a nanometre on ten centimetres.
    private const int TurnDecimals = 9;

    /// <summary>Fragment of a job file.</summary>
    public static string Of(AlignmentFit fit)
    {
        var text = new StringBuilder();
        int used = fit.Marks.Count(mark => mark.State == MarkState.Used);
        text.Append(CultureInfo.InvariantCulture, $"# layer below, {AlignmentFitter.Words(fit.Model)} through {used} of {CountText.Of(fit.Marks.Count, "mark", "marks")}: rms residual {FitText.Rounded(fit.RootMeanSquareNanometres)} nm, leave-one-out {FitText.Rounded(fit.LeaveOneOutNanometres)} nm\n");
        text.Append(fit.HasErrors ? "" : "# the marks' errors are taken from what the fit leaves\n");
        foreach (FitParameter parameter in fit.Parameters)
        {
            FitText.Comment(text, parameter);
        }

        AppendMarks(text, fit.Marks);
        LayerPlacement placement = fit.Placement;
        text.Append("alignment:\n");
        text.Append(CultureInfo.InvariantCulture, $"  offset: [{Number(placement.OffsetXNanometres, NanometreDecimals)} nm, {Number(placement.OffsetYNanometres, NanometreDecimals)} nm]\n");
        AppendTurn(text, fit);
        return text.ToString();
    }

    /// <summary>Rotation, scale and skew, as far as they were fitted.</summary>
    internal static void AppendTurn(StringBuilder text, AlignmentFit fit)
    {
        LayerPlacement placement = fit.Placement;
        if (fit.Model != AlignmentModel.Shift)
        {
            text.Append(CultureInfo.InvariantCulture, $"  rotation: {Number(placement.RotationDegrees, TurnDecimals)} deg\n");
            text.Append(fit.Model == AlignmentModel.Similarity
                ? $"  scale: {Number(placement.ScaleX, TurnDecimals)}\n"
                : $"  scale: [{Number(placement.ScaleX, TurnDecimals)}, {Number(placement.ScaleY, TurnDecimals)}]\n  skew: {Number(placement.Skew, TurnDecimals)}\n");
        }
    }

    /// <summary>What the fit leaves of every mark, as comments.</summary>
    internal static void AppendMarks(StringBuilder text, IReadOnlyList<FittedMark> marks)
    {
        // A name may hold anything but a line end.
        string[] names = [.. marks.Select(mark => PrintedText.Of(mark.Mark.Name))];
        int widest = Math.Max("mark".Length, names.Max(name => name.Length));
        text.Append(CultureInfo.InvariantCulture, $"# {"mark".PadRight(widest)}  residual x  residual y  without it x  without it y   (nm)\n");
        for (int i = 0; i < marks.Count; i++)
        {
            FittedMark mark = marks[i];
            text.Append(CultureInfo.InvariantCulture, $"# {names[i].PadRight(widest)}  ");
            text.Append(mark.State == MarkState.NotFound
                ? "not found\n"
                : string.Create(CultureInfo.InvariantCulture, $"{Tenth(mark.ResidualX),10}  {Tenth(mark.ResidualY),10}  {Tenth(mark.LeaveOneOutX),12}  {Tenth(mark.LeaveOneOutY),12}{(mark.State == MarkState.Displaced ? "   <- left out" : "")}\n"));
        }
    }

    private static string Tenth(double value) => double.IsNaN(value) ? "unknown" : Number(value, 1);

    /// <summary>A number with so many decimals at most.</summary>
    internal static string Number(double value, int decimals) => NumberText.Format(Math.Round(value, decimals, MidpointRounding.AwayFromZero) + 0.0);
}
