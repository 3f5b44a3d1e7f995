using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>An arc of an ellipse: centre + U·cos t + V·sin t.</summary>
/// <param name="Centre">Centre.</param>
/// <param name="U">First half axis.</param>
/// <param name="V">Second half axis.</param>
/// <param name="StartRadians">Parameter at the start.</param>
/// <param name="SweepRadians">Parameter range, negative for backward.</param>
/// <param name="EndPoint">Where it ends, exactly as written.</param>
internal sealed record SvgArc(
    PlanePoint Centre, PlanePoint U, PlanePoint V, double StartRadians, double SweepRadians, PlanePoint EndPoint) : SvgSegment
{
    /// <inheritdoc/>
    public override PlanePoint End => EndPoint;

    /// <summary>
    /// The arc of a path's A command, by the implementation notes of SVG 2 (B.2.4 and B.2.5): radii too small are enlarged
    /// until the ellipse reaches both ends.
    /// </summary>
    public static SvgSegment FromEnds(PlanePoint start, PlanePoint end, double rx, double ry, double degrees, bool isLarge, bool isSweep)
    {
        rx = Math.Abs(rx);
        ry = Math.Abs(ry);
        if (rx == 0 || ry == 0)
        {
            return new SvgBezier(end);
        }

        (double sin, double cos) = Trigonometry.SinCosDegrees(degrees);
        PlanePoint half = 0.5 * (start - end);
        double x = ((cos * half.X) + (sin * half.Y)) / rx;
        double y = ((cos * half.Y) - (sin * half.X)) / ry;
        double squared = (x * x) + (y * y);
        double enlarge = Math.Max(1, Math.Sqrt(squared));
        (rx, ry, x, y) = (rx * enlarge, ry * enlarge, x / enlarge, y / enlarge);
        squared = Math.Min(1, (x * x) + (y * y));

        // In the frame where the ellipse is the unit circle the chord's half is (x, y), and the centre lies across it.
        double across = squared == 0 ? 0 : Math.Sqrt((1 - squared) / squared);
        across = isLarge == isSweep ? -across : across;
        (double cx, double cy) = (across * y, -across * x);
        PlanePoint u = new(rx * cos, rx * sin);
        PlanePoint v = new(-ry * sin, ry * cos);
        PlanePoint centre = (0.5 * (start + end)) + (cx * u) + (cy * v);
        double from = Trigonometry.Atan2(y - cy, x - cx);
        double sweep = Trigonometry.Atan2(-y - cy, -x - cx) - from;
        sweep += isSweep && sweep < 0 ? 2 * Math.PI : !isSweep && sweep > 0 ? -2 * Math.PI : 0;
        return new SvgArc(centre, u, v, from, sweep, end);
    }

    /// <inheritdoc/>
    public override bool Fits(Affine map)
    {
        PlanePoint middle = map.Map(Centre);
        double reach = (U.Length + V.Length) * map.LargestStretch;
        return new PlanePoint(Math.Abs(middle.X) + reach, Math.Abs(middle.Y) + reach).FitsGrid && map.Map(EndPoint).FitsGrid;
    }

    /// <inheritdoc/>
    public override (PlanePoint Start, PlanePoint End) Tangents(PlanePoint start)
    {
        return (At(StartRadians), At(StartRadians + SweepRadians));

        PlanePoint At(double radians)
        {
            (double sin, double cos) = Trigonometry.SinCos(radians);
            return Math.Sign(SweepRadians) * ((cos * V) - (sin * U));
        }
    }

    /// <inheritdoc/>
    public override void AppendTo(List<PlanePoint> points, PlanePoint start, Affine map, double chordError)
    {
        Affine linear = map with { X = 0, Y = 0 };
        var arc = new List<PlanePoint>();
        ArcFlattening.AppendArc(arc, map.Map(Centre), linear.Map(U), linear.Map(V), StartRadians, SweepRadians, chordError);
        arc[^1] = map.Map(EndPoint);
        points.AddRange(arc.Skip(1));
    }
}
