namespace PatternCompiler.Geometry;

/// <summary>A straight edge between two grid points, the lower one first (then the one further left).</summary>
/// <param name="Lower">End with the smaller y.</param>
/// <param name="Upper">End with the larger y.</param>
internal readonly record struct GridEdge(GridPoint Lower, GridPoint Upper)
{
    /// <summary>True if x is the same at both ends.</summary>
    public bool IsVertical => Lower.X == Upper.X;
}
