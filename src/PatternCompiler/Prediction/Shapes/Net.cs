using System.Collections.Immutable;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>Points that must hang together, drawn and printed, and stay apart from those of every other net.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Points">One point or more.</param>
public sealed record Net(string Name, ImmutableArray<NetPoint> Points);

/// <summary>A point of a net, where the pattern stands in the field.</summary>
/// <param name="XNanometres">To the right.</param>
/// <param name="YNanometres">Upward.</param>
/// <param name="Place">Where it is named.</param>
public readonly record struct NetPoint(double XNanometres, double YNanometres, SourcePlace Place);
