using PatternCompiler.Geometry.Offset;

namespace PatternCompiler.Jobs;

/// <summary>How edges are moved to make up for the spot and for development.</summary>
/// <param name="DistanceNanometres">Outward move, negative for inward.</param>
/// <param name="Corners">Shape about corners.</param>
public sealed record BiasSettings(double DistanceNanometres, OffsetJoin Corners);
