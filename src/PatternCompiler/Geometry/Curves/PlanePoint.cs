namespace PatternCompiler.Geometry.Curves;

/// <summary>
/// A point or a vector before it is rounded to the grid, in grid steps. Curves and transforms are worked out in this form
/// and rounded once, at the very end.
/// </summary>
/// <param name="X">Grid steps to the right.</param>
/// <param name="Y">Grid steps upward.</param>
internal readonly record struct PlanePoint(double X, double Y)
{
    /// <summary>A grid point as it is.</summary>
    public static PlanePoint From(GridPoint point) => new(point.X, point.Y);

    /// <summary>Distance from the origin.</summary>
    public double Length => Math.Sqrt((X * X) + (Y * Y));

    /// <summary>True if it rounds to a point within the allowed range; false for NaN and infinity too.</summary>
    public bool FitsGrid => Math.Abs(X) < GridPoint.Limit + 0.5 && Math.Abs(Y) < GridPoint.Limit + 0.5;

    /// <summary>
    /// Nearest grid point; halves round away from zero, so that mirrored points stay mirrored. Call only if
    /// <see cref="FitsGrid"/>.
    /// </summary>
    public GridPoint ToGrid() => new(
        (int)Math.Round(X, MidpointRounding.AwayFromZero),
        (int)Math.Round(Y, MidpointRounding.AwayFromZero));

    /// <summary>Sum of two vectors.</summary>
    public static PlanePoint operator +(PlanePoint a, PlanePoint b) => new(a.X + b.X, a.Y + b.Y);

    /// <summary>Vector from <paramref name="b"/> to <paramref name="a"/>.</summary>
    public static PlanePoint operator -(PlanePoint a, PlanePoint b) => new(a.X - b.X, a.Y - b.Y);

    /// <summary>A vector stretched.</summary>
    public static PlanePoint operator *(double factor, PlanePoint a) => new(factor * a.X, factor * a.Y);
}
