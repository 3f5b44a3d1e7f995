using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Curves;

/// <summary>
/// Part or all of an ellipse or circle: centre + u·cos t + v·sin t for t from a start over a sweep, in radians.
/// </summary>
internal sealed class EllipticArc : DxfCurve
{
    private const double WholeTurn = 2 * Math.PI * (1 - 1e-12);

    private readonly PlanePoint centre;
    private readonly PlanePoint u;
    private readonly PlanePoint v;
    private readonly double start;
    private readonly double sweep;

    public EllipticArc(PlanePoint centre, PlanePoint u, PlanePoint v, double start, double sweep)
    {
        this.centre = centre;
        this.u = u;
        this.v = v;
        this.start = start;
        this.sweep = sweep;
    }

    /// <summary>An arc of a circle, counter-clockwise from one angle to another; equal angles make the whole circle.</summary>
    public static EllipticArc Circular(PlanePoint centre, double radius, double startDegrees, double endDegrees)
    {
        const double Radian = Math.PI / 180;
        double start = Math.IEEERemainder(startDegrees, 360);
        double sweep = Math.IEEERemainder(endDegrees - startDegrees, 360);
        return new(centre, new(radius, 0), new(0, radius), start * Radian, (sweep <= 0 ? sweep + 360 : sweep) * Radian);
    }

    /// <summary>
    /// Part of an ellipse, counter-clockwise from one parameter to another, in radians; equal parameters make the whole
    /// ellipse. A parameter is the angle on the circle that the ellipse is a stretched image of.
    /// </summary>
    public static EllipticArc Elliptic(PlanePoint centre, PlanePoint major, double ratio, double startParameter, double endParameter)
    {
        double start = Math.IEEERemainder(startParameter, 2 * Math.PI);
        double sweep = Math.IEEERemainder(endParameter - startParameter, 2 * Math.PI);
        return new(centre, major, new(-ratio * major.Y, ratio * major.X), start, sweep <= 1e-12 ? sweep + (2 * Math.PI) : sweep);
    }

    /// <inheritdoc/>
    public override bool IsClosed => Math.Abs(sweep) >= WholeTurn;

    /// <inheritdoc/>
    public override DxfCurve Mirrored() =>
        new EllipticArc(centre with { X = -centre.X }, u with { X = -u.X }, v with { X = -v.X }, start, sweep);

    /// <inheritdoc/>
    public override bool TryFlatten(List<PlanePoint> points, in Placement placement, double chordError)
    {
        PlanePoint middle = placement.Apply(centre);
        PlanePoint a = placement.StepsPerUnit * u;
        PlanePoint b = placement.StepsPerUnit * v;

        // A handful of points inside the range bounds the size of the arc, and so the number of its chords.
        const int Probes = 8;
        for (int i = 0; i <= Probes; i++)
        {
            (double sin, double cos) = Trigonometry.SinCos(start + (sweep * i / Probes));
            if (!(middle + (cos * a) + (sin * b)).FitsGrid)
            {
                return false;
            }
        }

        ArcFlattening.AppendArc(points, middle, a, b, start, sweep, chordError);
        if (IsClosed)
        {
            points.RemoveAt(points.Count - 1);
        }

        return points.TrueForAll(p => p.FitsGrid);
    }
}
