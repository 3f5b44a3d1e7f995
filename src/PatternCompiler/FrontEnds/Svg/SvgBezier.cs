using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>A straight line, or a Bézier curve of second or third degree.</summary>
/// <param name="Control">Control points after the start: one, two or three.</param>
internal sealed record SvgBezier(params PlanePoint[] Control) : SvgSegment
{
    /// <inheritdoc/>
    public override PlanePoint End => Control[^1];

    /// <inheritdoc/>
    public override bool Fits(Affine map) => Array.TrueForAll(Control, point => map.Map(point).FitsGrid);

    /// <inheritdoc/>
    public override bool IsStraight => Control.Length == 1;

    /// <inheritdoc/>
    /// <remarks>A control point that lies on the end next to it gives no direction; the one after it does.</remarks>
    public override (PlanePoint Start, PlanePoint End) Tangents(PlanePoint start)
    {
        PlanePoint end = End;
        PlanePoint[] points = [start, .. Control];
        PlanePoint first = points.FirstOrDefault(point => point != start, end);
        PlanePoint last = points.LastOrDefault(point => point != end, start);
        return (first - start, end - last);
    }

    /// <inheritdoc/>
    public override void AppendTo(List<PlanePoint> points, PlanePoint start, Affine map, double chordError)
    {
        if (Control.Length == 1)
        {
            points.Add(map.Map(Control[0]));
            return;
        }

        var control = new RationalPoint[Control.Length + 1];
        control[0] = RationalPoint.From(map.Map(start));
        for (int i = 0; i < Control.Length; i++)
        {
            control[i + 1] = RationalPoint.From(map.Map(Control[i]));
        }

        BezierFlattening.Append(points, control, chordError);
    }
}
