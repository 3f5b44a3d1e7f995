namespace PatternCompiler.Geometry.Sweep;

/// <summary>A point that a walk along the border passes, and the number of the junction that it is, or -1.</summary>
internal readonly record struct PathPoint(GridPoint Point, int Junction);
