using System.Globalization;
using System.Text;
using PatternCompiler.Calibration.Settling;

namespace PatternCompiler.Calibration.Results;

/// <summary>Prints the fitted responses of both axes as the part of a machine file that they make.</summary>
internal static class ResponseText
{
    // So much further than the hysteresis is approached from: the play must be gone through, whatever its error.
    private const double ApproachOverHysteresis = 1.25;

    /// <summary>Fragment of a machine file's settle section.</summary>
    /// <param name="fits">Of one axis, or of both.</param>
    /// <param name="jumps">Jumps in nanometres, in any order; each counts once.</param>
    /// <param name="leftNanometres">What may be left of a jump at the end of its wait; null for waits by half a code.</param>
    public static string Of(IReadOnlyList<ResponseFit> fits, IEnumerable<double> jumps, double? leftNanometres)
    {
        var text = new StringBuilder();
        foreach (ResponseFit fit in fits)
        {
            text.Append(CultureInfo.InvariantCulture, $"# settling{Along(fit)}: rms residual {FitText.Rounded(fit.RootMeanSquareNanometres)} nm\n");
            foreach (FitParameter? parameter in (FitParameter?[])[.. fit.TimeConstants, fit.SlowPart, fit.Hysteresis])
            {
                if (parameter is not null)
                {
                    FitText.Comment(text, parameter);
                }
            }

            if (fit.OneAlone is { } why)
            {
                text.Append(CultureInfo.InvariantCulture, $"# no second exponential is told: {why}\n");
            }
        }

        if (fits is [{ Axis: not ' ' } single])
        {
            text.Append(CultureInfo.InvariantCulture, $"# {(single.Axis == 'x' ? 'y' : 'x')} was not measured: it is taken to be like {single.Axis}\n");
        }

        text.Append("settle:\n");
        foreach (char axis in "xy")
        {
            ResponseFit fit = fits.FirstOrDefault(fit => fit.Axis == axis) ?? fits[0];
            text.Append(CultureInfo.InvariantCulture, $"  response_{axis}: [{string.Join(", ", Parts(fit))}]\n");
        }

        AppendHysteresis(text, fits);
        if (leftNanometres is { } left)
        {
            text.Append(CultureInfo.InvariantCulture, $"  table:                              # jump and wait, until {FitText.Rounded(left)} nm are left\n");
            foreach (double jump in jumps.Distinct().Order())
            {
                text.Append(CultureInfo.InvariantCulture, $"    - [{FitText.Rounded(jump / 1000)} um, {FitText.Rounded(fits.Max(fit => fit.WaitFor(jump, left)))} us]\n");
            }
        }

        return text.ToString();
    }

    // The parts must add up to 1: the fast one is what the slow one, as it is printed, leaves.
    private static IEnumerable<string> Parts(ResponseFit fit)
    {
        if (fit.SlowPart is null)
        {
            return [$"[1, {FitText.Rounded(fit.TimeConstants[0].Value)} us]"];
        }

        decimal slow = decimal.Parse(FitText.Rounded(fit.SlowPart.Value), NumberStyles.Float, CultureInfo.InvariantCulture);
        return
        [
            string.Create(CultureInfo.InvariantCulture, $"[{1 - slow}, {FitText.Rounded(fit.TimeConstants[0].Value)} us]"),
            string.Create(CultureInfo.InvariantCulture, $"[{slow}, {FitText.Rounded(fit.TimeConstants[1].Value)} us]"),
        ];
    }

    private static void AppendHysteresis(StringBuilder text, IReadOnlyList<ResponseFit> fits)
    {
        ResponseFit[] told = [.. fits.Where(fit => fit.Hysteresis is { Low: > 0 })];
        foreach (ResponseFit fit in told)
        {
            foreach (char axis in fit.Axis == ' ' ? "xy" : fit.Axis.ToString())
            {
                text.Append(CultureInfo.InvariantCulture, $"  hysteresis_{axis}: {FitText.Rounded(fit.Hysteresis!.Value)} nm\n");
            }
        }

        if (told.Length > 0)
        {
            double approach = Math.Ceiling(ApproachOverHysteresis * told.Max(fit => fit.Hysteresis!.High) / 10) * 10;
            text.Append(CultureInfo.InvariantCulture, $"  approach: {FitText.Rounded(approach)} nm            # every exposure from one side, by more than the hysteresis\n");
        }
        else if (fits.Any(fit => fit.Hysteresis is not null))
        {
            text.Append("  # no hysteresis is told: its interval holds 0\n");
        }
    }

    private static string Along(ResponseFit fit) => fit.Axis == ' ' ? "" : $" along {fit.Axis}";
}
