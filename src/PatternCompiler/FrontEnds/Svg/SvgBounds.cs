using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>The upright rectangle about an outline, without its stroke (SVG 2, 8.10), in user units.</summary>
internal readonly record struct SvgBounds(PlanePoint Low, PlanePoint High)
{
    /// <summary>Bounds of an outline.</summary>
    /// <param name="outline">One subpath or more.</param>
    /// <param name="chordError">How far they may be off, in user units.</param>
    public static SvgBounds Of(List<SvgSubpath> outline, double chordError)
    {
        (double left, double top) = (double.PositiveInfinity, double.PositiveInfinity);
        (double right, double bottom) = (double.NegativeInfinity, double.NegativeInfinity);
        foreach (PlanePoint point in outline.SelectMany(subpath => subpath.Flatten(Affine.Identity, chordError)))
        {
            (left, top) = (Math.Min(left, point.X), Math.Min(top, point.Y));
            (right, bottom) = (Math.Max(right, point.X), Math.Max(bottom, point.Y));
        }

        return new(new(left, top), new(right, bottom));
    }
}
