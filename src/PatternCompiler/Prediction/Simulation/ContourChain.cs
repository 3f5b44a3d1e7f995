using PatternCompiler.Pictures;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>A piece of an outline within one tile.</summary>
/// <param name="Start">Name of the pixel edge that it starts on.</param>
/// <param name="End">Name of the pixel edge that it ends on; the start's for a closed outline.</param>
/// <param name="Points">Its points, the first and the last included.</param>
internal sealed record ContourChain(long Start, long End, List<ScenePoint> Points);
