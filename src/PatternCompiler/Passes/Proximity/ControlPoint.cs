namespace PatternCompiler.Passes.Proximity;

/// <summary>A place where a figure's energy is held to its target.</summary>
/// <param name="X">Grid steps.</param>
/// <param name="Y">Grid steps.</param>
/// <param name="Weight">Part of the figure's mean that it makes up; the weights of a figure sum to 1.</param>
/// <param name="Length">Length of edge, or of line, that the place speaks for, in grid steps.</param>
/// <param name="OwnForward">
/// Part of its forward energy that the figure itself is taken to give, its neighbours none: a half for a figure without an outer
/// edge, as if it had one at its middle; 1 well inside an area. 0 where what each figure gives is computed.
/// </param>
internal readonly record struct ControlPoint(double X, double Y, double Weight, double Length, float OwnForward = 0)
{
    /// <summary>What a figure gives at its edge.</summary>
    public const float Edge = 0.5f;

    /// <summary>Outward direction of the side that the place lies on, of length 1; 0 where there is no side.</summary>
    public float NormalX { get; init; }

    /// <summary>See <see cref="NormalX"/>.</summary>
    public float NormalY { get; init; }
}
