using System.Globalization;
using System.Text;
using PatternCompiler.Calibration.Converters;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Results;

/// <summary>Prints a fit of two outputs as the part of a machine file's deflection section that it determines.</summary>
internal static class ConverterText
{
    /// <summary>Fragment of a machine file.</summary>
    /// <param name="fit">The fit.</param>
    /// <param name="dac">The converters that it is of.</param>
    public static string Of(ConverterFit fit, Dac dac)
    {
        var text = new StringBuilder();
        foreach (OutputFit output in (OutputFit[])[fit.X, fit.Y])
        {
            Describe(text, output, fit, dac);
        }

        text.Append(fit.IsFromPlaces
            ? "# gain, offset and crosstalk are those of the field: 'patternc fit field'\n"
            : "# what 'calibration' holds was measured through these outputs: measure it again when they are stated\n");
        text.Append("deflection:\n");
        foreach (OutputFit output in (OutputFit[])[fit.X, fit.Y])
        {
            string pairs = string.Join(", ", output.Levels.Select(level => string.Create(CultureInfo.InvariantCulture, $"[{level.Code}, {Steps(level.DeviationSteps)}]")));
            text.Append(CultureInfo.InvariantCulture, $"  linearity_{output.Axis}: [{pairs}]\n");
        }

        string[] felt = [.. new[] { Felt("x_from_y", fit.X), Felt("y_from_x", fit.Y) }.OfType<string>()];
        text.Append(felt.Length > 0 ? $"  crosstalk: {{{string.Join(", ", felt)}}}\n" : "");
        foreach (OutputFit output in (OutputFit[])[fit.X, fit.Y])
        {
            text.Append(IsWhole(output, dac) ? "" : string.Create(CultureInfo.InvariantCulture, $"  usable_{output.Axis}: [{output.Usable.Lowest}, {output.Usable.Highest}]\n"));
        }

        return text.ToString();

        static string? Felt(string key, OutputFit output) => output.Crosstalk is { } part ? $"{key}: {NumberText.Format(Math.Round(part.Value, 8, MidpointRounding.AwayFromZero))}" : null;
    }

    private static void Describe(StringBuilder text, OutputFit output, ConverterFit fit, Dac dac)
    {
        double millivolts = 1000 * fit.StepVolts;
        (int code, double steps) = output.LargestNonlinearity;
        text.Append(CultureInfo.InvariantCulture, $"# output {output.Axis}: {CountText.Of(output.Residuals.Count, "reading", "readings")} of {CountText.Of(output.Levels.Length, "code", "codes")}, rms residual {FitText.Rounded(output.Residuals.RootMeanSquare * millivolts)} mV ({FitText.Rounded(output.Residuals.RootMeanSquare)} steps), largest {FitText.Rounded(output.Residuals.Largest * millivolts)} mV\n");
        if (!fit.IsFromPlaces)
        {
            FitText.Comment(text, output.GainError);
            FitText.Comment(text, output.Offset);
        }

        if (output.Crosstalk is { } crosstalk)
        {
            FitText.Comment(text, crosstalk);
        }

        text.Append(CultureInfo.InvariantCulture, $"# {output.Axis}-nonlinearity: largest at code {code}, {FitText.Rounded(steps)} steps off the straight line\n");
        if (!IsWhole(output, dac))
        {
            string where = output.Clips switch
            {
                (true, true) => "; the amplifier clips below and above",
                (true, false) => "; the amplifier clips below",
                (false, true) => "; the amplifier clips above",
                _ => "; nothing was read beyond",
            };
            text.Append(CultureInfo.InvariantCulture, $"# {output.Axis}-usable: codes {output.Usable.Lowest} to {output.Usable.Highest} of 0 to {dac.CodeCount - 1}{where}\n");
        }
    }

    private static bool IsWhole(OutputFit output, Dac dac) => output.Usable.Lowest == 0 && output.Usable.Highest == dac.CodeCount - 1;

    private static string Steps(double steps) => NumberText.Format(Math.Round(steps, 3, MidpointRounding.AwayFromZero) + 0.0);
}
