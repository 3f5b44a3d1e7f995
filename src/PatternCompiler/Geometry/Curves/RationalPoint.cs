namespace PatternCompiler.Geometry.Curves;

/// <summary>A control point of a rational curve in homogeneous form: the point itself is (X/W, Y/W).</summary>
/// <param name="X">x times the weight.</param>
/// <param name="Y">y times the weight.</param>
/// <param name="W">Weight, above zero.</param>
internal readonly record struct RationalPoint(double X, double Y, double W)
{
    /// <summary>A point with a weight.</summary>
    public static RationalPoint From(PlanePoint point, double weight = 1) => new(point.X * weight, point.Y * weight, weight);

    /// <summary>The point itself.</summary>
    public PlanePoint Point => new(X / W, Y / W);

    /// <summary>The point that divides the way from a to b in the ratio t : 1 − t.</summary>
    public static RationalPoint Lerp(in RationalPoint a, in RationalPoint b, double t) =>
        new(a.X + (t * (b.X - a.X)), a.Y + (t * (b.Y - a.Y)), a.W + (t * (b.W - a.W)));
}
