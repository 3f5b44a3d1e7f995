namespace PatternCompiler.Geometry.Curves;

/// <summary>
/// A map of the plane, <c>x′ = XX·x + XY·y + X</c> and <c>y′ = YX·x + YY·y + Y</c>. Quarter turns and mirrors have the
/// entries 0 and ±1: grid points then stay grid points, and the arithmetic is exact.
/// </summary>
internal readonly record struct Affine(double XX, double XY, double YX, double YY, double X, double Y)
{
    /// <summary>Leaves everything where it is.</summary>
    public static Affine Identity => new(1, 0, 0, 1, 0, 0);

    /// <summary>True for a move with quarter turns and mirrors only.</summary>
    public bool IsExact =>
        IsUnit(XX) && IsUnit(XY) && IsUnit(YX) && IsUnit(YY) && (XX * YY) - (XY * YX) is 1 or -1
        && double.IsInteger(X) && double.IsInteger(Y);

    /// <summary>True if it turns counter-clockwise rings into clockwise ones.</summary>
    public bool IsMirrored => (XX * YY) - (XY * YX) < 0;

    /// <summary>Image of the vector (1, 0).</summary>
    public PlanePoint ImageOfX => new(XX, YX);

    /// <summary>Image of the vector (0, 1).</summary>
    public PlanePoint ImageOfY => new(XY, YY);

    /// <summary>Largest factor by which a distance grows.</summary>
    public double LargestStretch => ArcFlattening.LargestStretch(ImageOfX, ImageOfY);

    /// <summary>True if circles stay circles: a turn, a move, a mirror and one scale for all directions, to about 15 digits.</summary>
    public bool IsSimilarity
    {
        get
        {
            double slack = 1e-13 * ((XX * XX) + (XY * XY) + (YX * YX) + (YY * YY));
            return Math.Abs((XX * XY) + (YX * YY)) <= slack
                && Math.Abs((XX * XX) + (YX * YX) - (XY * XY) - (YY * YY)) <= slack;
        }
    }

    /// <summary>Image of a point.</summary>
    public PlanePoint Map(PlanePoint point) => new((XX * point.X) + (XY * point.Y) + X, (YX * point.X) + (YY * point.Y) + Y);

    /// <summary>Image of a grid point.</summary>
    public PlanePoint Map(GridPoint point) => Map(PlanePoint.From(point));

    /// <summary>This map after another one.</summary>
    public Affine After(Affine inner) => new(
        (XX * inner.XX) + (XY * inner.YX),
        (XX * inner.XY) + (XY * inner.YY),
        (YX * inner.XX) + (YY * inner.YX),
        (YX * inner.XY) + (YY * inner.YY),
        (XX * inner.X) + (XY * inner.Y) + X,
        (YX * inner.X) + (YY * inner.Y) + Y);

    private static bool IsUnit(double entry) => entry is 0 or 1 or -1;
}
