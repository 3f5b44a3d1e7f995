using System.Text;
using System.Text.Json.Serialization;
using PatternCompiler.Files;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Waveforms;

/// <summary>Prints how measured traces differ from what is expected.</summary>
internal static class TraceComparisonText
{
    /// <summary>A table, each line ended by a line feed.</summary>
    public static string Format(IEnumerable<TraceComparison> comparisons)
    {
        var text = new StringBuilder();
        foreach (TraceComparison found in comparisons)
        {
            Row(found.Line, $"channel {found.Channel}, {CountText.Of(found.Samples, "sample", "samples")}");
            Row("  delay", Time(found.DelaySeconds));
            Row("  gain", QuantityText.Format(found.Gain, Dimension.Fraction, 5));
            Row("  offset", Volts(found.OffsetVolts));
            Row("  left over", $"{Volts(found.RmsVolts)} rms, {Volts(found.LargestVolts)} at most");
            Row("  disagreement", found.LongestDisagreementSeconds > 0
                ? $"{Time(found.LongestDisagreementSeconds)} at the longest, from {Time(found.DisagreementStartsSeconds)} on"
                : "none lasts longer than a sample");
        }

        return text.ToString();

        void Row(string name, string value) => text.Append(name.PadRight(16)).Append(value).Append('\n');
    }

    /// <summary>One JSON object and a line feed.</summary>
    public static void WriteJson(IEnumerable<TraceComparison> comparisons, Stream output) =>
        JsonFile.Write(new TraceComparisonDocument([.. comparisons]), TraceComparisonTypes.Default, output);

    private static string Time(double seconds) => QuantityText.Format(seconds, Dimension.Time);

    private static string Volts(double volts) => QuantityText.Format(volts, Dimension.Voltage);
}

internal sealed record TraceComparisonDocument(IReadOnlyList<TraceComparison> Traces);

[JsonSerializable(typeof(TraceComparisonDocument))]
internal sealed partial class TraceComparisonTypes : JsonSerializerContext;
