using System.Collections.Immutable;
using PatternCompiler.Checks;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Reports;

namespace PatternCompiler.Jobs;

/// <summary>What a build has made, in figures.</summary>
/// <param name="JobName">Name of the job.</param>
/// <param name="MachineName">Name of the machine.</param>
/// <param name="ProcessName">Name of the process.</param>
/// <param name="Figures">Figures and their extent.</param>
/// <param name="Correction">What the proximity correction did, or null.</param>
/// <param name="Strokes">Strokes and their charge.</param>
/// <param name="Exposure">Records and their ticks.</param>
/// <param name="Estimate">Time, limits, link and doubts.</param>
/// <param name="Files">The files, kept documents first.</param>
public sealed record BuildSummary(
    string JobName,
    string MachineName,
    string ProcessName,
    FigureTotals Figures,
    ProximityReport? Correction,
    StrokeTotals Strokes,
    ExposureTotals Exposure,
    ExposureEstimate Estimate,
    ImmutableArray<BuiltFile> Files)
{
    /// <summary>What the build's report predicts; null without a report, or where the process does not say how energy spreads.</summary>
    internal PredictedPrint? Print { get; init; }
}

/// <summary>One file that a build has made.</summary>
/// <param name="Path">Its name.</param>
/// <param name="Content">What it holds, e.g. "stream" or "figures".</param>
/// <param name="Bytes">Its size.</param>
public sealed record BuiltFile(string Path, string Content, long Bytes)
{
    /// <summary>SHA-256 of its content in hexadecimal, where the build's report asks for it.</summary>
    public string? Hash { get; init; }
}
