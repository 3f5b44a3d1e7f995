using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Jobs;

/// <summary>What a strict build refuses: stray lines that would print, and machines for which nobody can tell.</summary>
internal static class StrayRule
{
    /// <summary>Lists the stray lines and throws if there are any.</summary>
    public static void Require(ExposureEstimate estimate, DiagnosticSink sink)
    {
        if (estimate.Strays is { } strays && StrayText.WarningOf(strays) is { } lines)
        {
            foreach ((int i, string line) in StrayText.ListOf(strays).Index())
            {
                sink.Warn(PredictionCodes.StrayLine, line, i < strays.Worst.Length ? StrayText.PlaceOf(strays.Worst[i]) : default);
            }

            throw new CompileException(lines with { Severity = Severity.Error });
        }

        foreach (Diagnostic warning in estimate.Warnings)
        {
            if (warning.Code == PredictionCodes.StrayUnknown || warning.Code == PredictionCodes.LeakFogPrints)
            {
                throw new CompileException(warning with { Severity = Severity.Error });
            }
        }
    }
}
