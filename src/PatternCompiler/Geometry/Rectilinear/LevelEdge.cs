namespace PatternCompiler.Geometry.Rectilinear;

/// <summary>A horizontal edge between the x coordinates of two ranks, and what crossing it upward adds to the winding number.</summary>
internal readonly record struct LevelEdge(int Y, int Left, int Right, int Weight);
