namespace PatternCompiler.Geometry;

/// <summary>
/// A point on the layout's grid, counted in grid steps. Both coordinates lie within
/// ±<see cref="Limit"/>: then a difference fits 32 bits and a sign, and a cross product of two differences fits a
/// signed 64-bit integer without overflow.
/// </summary>
/// <param name="X">Grid steps to the right.</param>
/// <param name="Y">Grid steps upward.</param>
internal readonly record struct GridPoint(int X, int Y)
{
    /// <summary>Largest allowed magnitude of a coordinate, 2^30 − 1 (±107 mm on a 0.1 nm grid).</summary>
    public const int Limit = (1 << 30) - 1;

    /// <summary>True if the point lies within the allowed range.</summary>
    public bool IsInRange => X is >= -Limit and <= Limit && Y is >= -Limit and <= Limit;

    /// <inheritdoc/>
    public override string ToString() => $"({X}, {Y})";
}
