using System.Globalization;
using System.Text;
using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Calibration.StageFrame;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Results;

/// <summary>Prints how the stage's axes lie in the beam's field, and how a sample lies on the stage, as the sections of machine and job file.</summary>
internal static class StageText
{
    private const double NanometresPerMicrometre = 1000;
    private const int MicrometreDecimals = 4;

    // A way round is comfortably longer than the backlash that it takes out: common practice, no source.
    private const double WayPerBacklash = 3;

    // A ten-millionth is a nanometre on a centimetre.
    private const int SlopeDecimals = 7;

    /// <summary>Fragment of a machine file.</summary>
    public static string Of(StageFit fit)
    {
        var text = new StringBuilder();
        AppendQuality(text, "stage in the beam's field", fit.Frame);
        foreach (FitParameter parameter in fit.Frame.Parameters.Skip(2).Concat(new[] { fit.BacklashX, fit.BacklashY }.OfType<FitParameter>()))
        {
            FitText.Comment(text, parameter);
        }

        if (fit.BacklashX is null || fit.BacklashY is null)
        {
            text.Append("# backlash: not told without readings of the same marks from the other side ('from x', 'from y')\n");
        }

        AlignmentText.AppendMarks(text, fit.Frame.Marks);
        Stage stage = fit.Stage;
        text.Append("# beside 'settle', 'speed' and 'step', which these readings do not tell; the origin is where places of the table have theirs\n");
        text.Append("stage:\n");
        text.Append(CultureInfo.InvariantCulture, $"  origin: [{Um(stage.OriginNanometres.X)} um, {Um(stage.OriginNanometres.Y)} um]\n");
        text.Append(stage.InvertX ? "  invert_x: yes\n" : "").Append(stage.InvertY ? "  invert_y: yes\n" : "");
        AlignmentText.AppendTurn(text, fit.Frame);
        if (fit.BacklashX is { } x && fit.BacklashY is { } y)
        {
            text.Append(CultureInfo.InvariantCulture, $"  backlash: [{Um(x.Value)} um, {Um(y.Value)} um]\n");
            text.Append(CultureInfo.InvariantCulture, $"  approach: [{Way(x.Value, fit.IsFromAboveX)} um, {Way(y.Value, fit.IsFromAboveY)} um]\n");
        }

        return text.ToString();
    }

    /// <summary>Fragment of a job file.</summary>
    public static string Of(SampleFit fit)
    {
        var text = new StringBuilder();
        AppendQuality(text, "sample on the stage", fit.Placement);
        foreach (FitParameter parameter in fit.Placement.Parameters)
        {
            FitText.Comment(text, parameter);
        }

        if (fit.Focus is { } focus)
        {
            text.Append(CultureInfo.InvariantCulture, $"# plane through {focus.Marks} marks in focus: rms residual {FitText.Rounded(focus.RootMeanSquareNanometres / NanometresPerMicrometre)} um\n");
            foreach (FitParameter parameter in focus.Parameters)
            {
                FitText.Comment(text, parameter);
            }
        }

        AlignmentText.AppendMarks(text, fit.Placement.Marks);
        text.Append("sample:\n");
        text.Append(CultureInfo.InvariantCulture, $"  offset: [{Um(fit.Placement.Placement.OffsetXNanometres)} um, {Um(fit.Placement.Placement.OffsetYNanometres)} um]\n");
        AlignmentText.AppendTurn(text, fit.Placement);
        if (fit.Focus is { Plane: FocusPlane plane })
        {
            text.Append(CultureInfo.InvariantCulture, $"  focus: {{at_origin: {AlignmentText.Number(plane.AtOriginNanometres * 1e-6, MicrometreDecimals)} mm, slope_x: {AlignmentText.Number(plane.SlopeX, SlopeDecimals)}, slope_y: {AlignmentText.Number(plane.SlopeY, SlopeDecimals)}}}\n");
        }

        return text.ToString();
    }

    private static void AppendQuality(StringBuilder text, string what, AlignmentFit fit)
    {
        int used = fit.Marks.Count(mark => mark.State == MarkState.Used);
        text.Append(CultureInfo.InvariantCulture, $"# {what}, {AlignmentFitter.Words(fit.Model)} through {used} of {CountText.Of(fit.Marks.Count, "reading", "readings")}: rms residual {FitText.Rounded(fit.RootMeanSquareNanometres)} nm, leave-one-out {FitText.Rounded(fit.LeaveOneOutNanometres)} nm\n");
        text.Append(fit.HasErrors ? "" : "# errors are taken from what the fit leaves\n");
    }

    private static string Um(double nanometres) => AlignmentText.Number(nanometres / NanometresPerMicrometre, MicrometreDecimals);

    private static string Way(double backlash, bool isFromAbove) =>
        NumberText.Format(Math.Ceiling(Math.Round(WayPerBacklash * backlash / NanometresPerMicrometre, MicrometreDecimals, MidpointRounding.AwayFromZero)) * (isFromAbove ? -1 : 1) + 0.0);
}
