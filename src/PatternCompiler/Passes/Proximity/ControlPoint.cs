namespace PatternCompiler.Passes.Proximity;

/// <summary>A place where a figure's energy is held to its target.</summary>
/// <param name="X">Grid steps.</param>
/// <param name="Y">Grid steps.</param>
/// <param name="Weight">Part of the figure's mean that it makes up; the weights of a figure sum to 1.</param>
/// <param name="Length">Length of edge, or of line, that the place speaks for, in grid steps.</param>
/// <param name="IsVirtualEdge">
/// The figure has no outer edge: the place stands for an edge at its middle, where the figure itself gives half of its
/// forward energy and its neighbours none.
/// </param>
internal readonly record struct ControlPoint(double X, double Y, double Weight, double Length, bool IsVirtualEdge = false)
{
    /// <summary>Outward direction of the side that the place lies on, of length 1; 0 where there is no side.</summary>
    public float NormalX { get; init; }

    /// <summary>See <see cref="NormalX"/>.</summary>
    public float NormalY { get; init; }
}
