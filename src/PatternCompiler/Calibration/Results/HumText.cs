using System.Globalization;
using System.Text;
using PatternCompiler.Calibration.Mains;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Results;

/// <summary>Prints a fit of hum as the section of a machine file that it determines.</summary>
internal static class HumText
{
    /// <summary>Fragment of a machine file.</summary>
    public static string Of(HumFit fit)
    {
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"# hum: {CountText.Of(fit.Rows, "row", "rows")} of {CountText.Of(fit.Lines, "line", "lines")} over {FitText.Rounded(1000 * fit.SpanSeconds)} ms, rms residual {FitText.Rounded(fit.RootMeanSquareNanometres)} nm\n");
        text.Append("# phases are those of sines at time 0: an edge of the trigger where the lines waited for one\n");
        if (fit.IsFrequencyFitted)
        {
            FitText.Comment(text, fit.Frequency);
        }

        foreach (HumWaveFit wave in fit.Axes.SelectMany(axis => axis.Waves))
        {
            FitText.Comment(text, wave.Amplitude);
            FitText.Comment(text, wave.Phase);
        }

        text.Append("hum:\n");
        text.Append(CultureInfo.InvariantCulture, $"  frequency: {NumberText.Format(Math.Round(fit.Frequency.Value, 4, MidpointRounding.AwayFromZero))} Hz\n");
        foreach (HumAxisFit axis in fit.Axes)
        {
            text.Append(CultureInfo.InvariantCulture, $"  {axis.Axis}: [{List(axis, wave => wave.Amplitude.Value, "nm")}]\n");
            text.Append(CultureInfo.InvariantCulture, $"  {axis.Axis}_phase: [{List(axis, wave => wave.Phase.Value, "deg")}]\n");
        }

        return text.ToString();
    }

    private static string List(HumAxisFit axis, Func<HumWaveFit, double> value, string unit) =>
        string.Join(", ", axis.Waves.Select(wave => $"{NumberText.Format(Math.Round(value(wave), 2, MidpointRounding.AwayFromZero) + 0.0)} {unit}"));
}
