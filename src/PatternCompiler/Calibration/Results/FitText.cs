using System.Globalization;
using System.Text;
using PatternCompiler.Calibration.BlankerDelay;
using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Calibration.DoseToSize;
using PatternCompiler.Calibration.Field;
using PatternCompiler.Calibration.Settling;
using PatternCompiler.Calibration.Spread;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Results;

/// <summary>
/// Prints a fit as the fragment of a machine or process file that it determines, with its quality in comments: paste it,
/// or keep it beside the measurements.
/// </summary>
internal static class FitText
{
    /// <summary>Fragment of a process file.</summary>
    public static string Of(ContrastFit fit)
    {
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"# contrast curve: {Rounded(fit.Thickness.Value)} nm of resist{(fit.IsThicknessGiven ? ", as stated" : "")}, rms residual {Percent(fit.RootMeanSquareResidual)} of the thickness\n");
        Comment(text, fit.Contrast);
        Comment(text, fit.Onset);
        Comment(text, fit.Clearing);
        if (!fit.IsThicknessGiven)
        {
            Comment(text, fit.Thickness);
        }

        text.Append(CultureInfo.InvariantCulture, $"# a base dose ('dose.area') of {QuantityText.Format(2 * fit.Response.PrintingCoulombsPerSquareMetre, Dimension.AreaDose)} prints edges of large areas where they are drawn\n");
        AppendResist(text, fit, 1);
        return text.ToString();
    }

    /// <summary>Fragment of a process file.</summary>
    public static string Of(SpreadFit fit)
    {
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"# two-Gaussian spread: rms residual {Percent(fit.RootMeanSquareResidual)} of the radius; the spot of {Rounded(fit.SpotNanometres)} nm is taken out\n");
        Comment(text, fit.Forward);
        Comment(text, fit.Backscatter);
        Comment(text, fit.Ratio);
        text.Append("spread:\n");
        text.Append(CultureInfo.InvariantCulture, $"  forward: {Rounded(fit.Forward.Value)} nm  # alpha\n");
        text.Append(CultureInfo.InvariantCulture, $"  backscatter: {Rounded(fit.Backscatter.Value)} nm  # beta\n");
        text.Append(CultureInfo.InvariantCulture, $"  ratio: {Rounded(fit.Ratio.Value)}  # eta\n");
        return text.ToString();
    }

    /// <summary>
    /// Lines of a process file, with those of the job in comments, and the features for which they hold: by the base dose alone, or
    /// with the dose factor that each needs, which 'correct' works out by itself.
    /// </summary>
    public static string Of(DoseFit fit)
    {
        var text = new StringBuilder();
        string meaning = fit.Tone == ResistTone.Positive ? "the resist is gone" : "half of the film remains";
        text.Append(CultureInfo.InvariantCulture, $"# dose to size: {(fit.Widths > 0 ? $"{fit.Widths} widths, rms residual {Rounded(fit.RootMeanSquareNanometres)} nm" : "squares alone")}; edges print where {meaning}\n");
        if (fit.SpreadError > 0)
        {
            text.Append(CultureInfo.InvariantCulture, $"# ranges and ratios of the spread are taken to be known to {Percent(fit.SpreadError)} (one standard error)\n");
        }

        Comment(text, fit.Threshold);
        Comment(text, fit.BaseDose);
        if (fit.Bias is { } bias)
        {
            Comment(text, bias);
        }
        else
        {
            text.Append(fit.Contrast is null ? $"# the ends are the last square that did not print and the first that did{(fit.SpreadError > 0 ? ", and the spread's error beyond them" : "")}\n" : "")
                .Append("# bias: not told, for no widths were measured\n");
        }

        AppendFeatures(text, fit);
        text.Append("dose:\n");
        text.Append(CultureInfo.InvariantCulture, $"  area: {Rounded(fit.BaseDose.Value)} uC/cm2\n");
        AppendResist(text, fit);
        return text.ToString();
    }

    private static void AppendFeatures(StringBuilder text, DoseFit fit)
    {
        const string Edge = "edge of a large area";
        int widest = fit.Features.Max(feature => Math.Max(Edge.Length, feature.Feature.Name.Length));
        text.Append(CultureInfo.InvariantCulture, $"# {"feature".PadRight(widest)}  dose factor  printed - drawn at factor 1\n");
        text.Append(CultureInfo.InvariantCulture, $"# {Edge.PadRight(widest)}  {"1",11}  0 nm, holds\n");
        foreach (FeatureDose feature in fit.Features)
        {
            string error = feature.ErrorNanometres is { } nanometres ? $"{NumberText.Format(Math.Round(nanometres, 1, MidpointRounding.AwayFromZero))} nm" : "does not print by itself";
            text.Append(CultureInfo.InvariantCulture, $"# {feature.Feature.Name.PadRight(widest)}  {NumberText.Format(Math.Round(feature.DoseFactor, 3, MidpointRounding.AwayFromZero)),11}  {error}{(feature.Holds ? ", holds" : "")}\n");
        }

        text.Append("# all of them hold in a job with:\n#   correct: {target: edge}\n");
        if (fit.Bias is { } bias && Math.Abs(bias.Value) >= 0.05)
        {
            text.Append(CultureInfo.InvariantCulture, $"#   bias: {NumberText.Format(Math.Round(-bias.Value, 1, MidpointRounding.AwayFromZero))} nm\n");
        }
    }

    private static void AppendResist(StringBuilder text, DoseFit fit)
    {
        if (fit.Contrast is { } curve)
        {
            // Moved to where edges print.
            AppendResist(text, curve, fit.Threshold.Value / (100 * curve.Response.PrintingCoulombsPerSquareMetre));
            return;
        }

        ToneWords words = ToneWords.Of(fit.Tone);
        string known = fit.Tone == ResistTone.Positive ? $"'{words.Last}'" : $"the geometric mean of '{words.First}' and '{words.Last}'";
        text.Append(CultureInfo.InvariantCulture, $"# resist: {known} is {Rounded(fit.Threshold.Value)} uC/cm2; 'patternc fit contrast' tells the rest from thicknesses\n");
    }

    private static void AppendResist(StringBuilder text, ContrastFit curve, double doses)
    {
        ToneWords words = ToneWords.Of(curve.Tone);
        text.Append("resist:\n");
        text.Append(CultureInfo.InvariantCulture, $"  tone: {words.Tone}\n");
        text.Append(CultureInfo.InvariantCulture, $"  {words.First}: {Rounded(doses * curve.Onset.Value)} uC/cm2\n");
        text.Append(CultureInfo.InvariantCulture, $"  {words.Last}: {Rounded(doses * curve.Clearing.Value)} uC/cm2\n");
        text.Append(CultureInfo.InvariantCulture, $"  thickness: {Rounded(curve.Thickness.Value)} nm\n");
    }

    /// <summary>Fragment of a machine file's blanker section.</summary>
    public static string Of(BlankerDelayFit fit)
    {
        var text = new StringBuilder();
        foreach (FitParameter parameter in new[] { fit.OffDelay, fit.OnDelay, fit.TailOffset, fit.HeadOffset })
        {
            Comment(text, parameter);
        }

        text.Append("# rise and fall times: not told; ends of lines show when the charge of an edge is through, not how it is spread. Mean currents tell them\n");
        text.Append("blanker:\n");
        text.Append(CultureInfo.InvariantCulture, $"  off_delay: {Rounded(fit.OffDelay.Value)} us\n");
        text.Append(CultureInfo.InvariantCulture, $"  on_delay: {Rounded(fit.OnDelay.Value)} us\n");
        return text.ToString();
    }

    /// <summary>Fragment of a machine file's settle section: the time constant, and the waits for some jumps.</summary>
    /// <param name="fit">The fit.</param>
    /// <param name="jumps">Jumps in nanometres, in any order; each counts once.</param>
    /// <param name="leftNanometres">What may be left of a jump at the end of its wait.</param>
    public static string Of(SettlingFit fit, IEnumerable<double> jumps, double leftNanometres)
    {
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"# settling: rms residual {Rounded(fit.RootMeanSquareNanometres)} nm\n");
        Comment(text, fit.TimeConstant);
        Comment(text, fit.DeadTime);
        text.Append("settle:\n");
        text.Append(CultureInfo.InvariantCulture, $"  time_constant: {Rounded(fit.TimeConstant.Value)} us\n");
        text.Append(CultureInfo.InvariantCulture, $"  table:                              # jump and wait, until {Rounded(leftNanometres)} nm are left\n");
        foreach (double jump in jumps.Distinct().Order())
        {
            text.Append(CultureInfo.InvariantCulture, $"    - [{Rounded(jump / 1000)} um, {Rounded(fit.WaitFor(jump, leftNanometres))} us]\n");
        }

        return text.ToString();
    }

    /// <summary>Fragment of a machine file's deflection section, for the recommended order, after a comparison of all orders.</summary>
    public static string Of(IReadOnlyList<FieldFit> fits, FieldFit chosen)
    {
        var text = new StringBuilder("# order  terms  rms residual  largest  leave-one-out rms   (nm)\n");
        foreach (FieldFit fit in fits)
        {
            text.Append(
                CultureInfo.InvariantCulture,
                $"# {fit.Polynomial.Order,5}  {2 * FieldPolynomial.TermCount(fit.Polynomial.Order),5}  {Rounded(fit.RootMeanSquare),12}  {Rounded(fit.LargestResidual),7}  {Rounded(fit.LeaveOneOutRootMeanSquare),17}{(fit == chosen ? "   <- used" : "")}\n");
        }

        if (chosen.Poses is { } poses)
        {
            Append(text, poses);
        }

        foreach (FitParameter parameter in chosen.Parameters)
        {
            Comment(text, parameter);
        }

        text.Append("deflection:\n  calibration:\n    polynomial:\n");
        text.Append(CultureInfo.InvariantCulture, $"      order: {chosen.Polynomial.Order}\n");
        text.Append(CultureInfo.InvariantCulture, $"      half_field: {NumberText.Format(chosen.Polynomial.HalfFieldNanometres)} nm\n");
        text.Append(CultureInfo.InvariantCulture, $"      x: [{Coefficients(chosen.Polynomial.XNanometres)}]\n");
        text.Append(CultureInfo.InvariantCulture, $"      y: [{Coefficients(chosen.Polynomial.YNanometres)}]\n");
        return text.ToString();
    }

    private static void Append(StringBuilder text, FieldPoses poses)
    {
        foreach ((string name, double turn, double x, double y) in poses.Views)
        {
            text.Append(CultureInfo.InvariantCulture, $"# view {name}: sample turned by {turn:0.###} deg, its origin at ({x / 1000:0.###}, {y / 1000:0.###}) um\n");
        }

        text.Append(double.IsNaN(poses.NoiseNanometres)
            ? "# error unknown (no spare measurement)\n"
            : FormattableString.Invariant($"# a place is seen within {Rounded(poses.NoiseNanometres)} nm, the distortion is known within {Rounded(poses.ErrorNanometres)} nm (standard errors along an axis, the latter over the field)\n"));
        text.Append(poses.ScaleIsKnown ? "# scale from the known length; offset and turn of the field are those of the sample\n" : "# scale in the middle as the machine file has it; offset and turn of the field are those of the sample\n");
    }

    private static string Coefficients(IReadOnlyList<double> values) =>
        string.Join(", ", values.Select(v => $"{NumberText.Format(Math.Round(v, 3, MidpointRounding.AwayFromZero))} nm"));

    internal static void Comment(StringBuilder text, FitParameter parameter)
    {
        string unit = parameter.Unit.Length == 0 ? "" : " " + parameter.Unit;
        text.Append(CultureInfo.InvariantCulture, $"# {parameter.Name}: {Rounded(parameter.Value)}{unit}");
        text.Append(double.IsNaN(parameter.StandardError)
            ? ", error unknown (no spare measurement)\n"
            : double.IsInfinity(parameter.Low) && double.IsInfinity(parameter.High) ? ", 95%: any value would fit\n"
            : double.IsInfinity(parameter.High) ? $", 95% from {Rounded(parameter.Low)}{unit} without an upper limit\n"
            : double.IsInfinity(parameter.Low) ? $", 95% up to {Rounded(parameter.High)}{unit} without a lower limit\n"
            : $", standard error {Rounded(parameter.StandardError)}{unit}, 95% from {Rounded(parameter.Low)} to {Rounded(parameter.High)}{unit}\n");
    }

    private static string Percent(double fraction) => $"{Rounded(100 * fraction)}%";

    /// <summary>Four significant digits.</summary>
    internal static string Rounded(double value) =>
        double.IsNaN(value) ? "unknown" : NumberText.Format(double.Parse(value.ToString("G4", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture) + 0.0); // no "-0"
}
