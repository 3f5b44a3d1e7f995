using PatternCompiler.Checks;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Jobs;

/// <summary>What a build has made of its figures.</summary>
/// <param name="Strokes">Strokes and their charge.</param>
/// <param name="Records">Records and their ticks.</param>
/// <param name="Estimate">Time, limits, link and doubts.</param>
internal sealed record BuiltExposure(StrokeTotals Strokes, ExposureTotals Records, ExposureEstimate Estimate);
