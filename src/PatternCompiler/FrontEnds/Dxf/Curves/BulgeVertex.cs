using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Curves;

/// <summary>A corner of a polyline.</summary>
/// <param name="X">Drawing units to the right.</param>
/// <param name="Y">Drawing units upward.</param>
/// <param name="Bulge">Tangent of a quarter of the angle of the arc to the next corner; 0 for a straight line.</param>
internal readonly record struct BulgeVertex(double X, double Y, double Bulge)
{
    /// <summary>The corner alone.</summary>
    public PlanePoint Point => new(X, Y);

    /// <summary>The corner with x reversed; an arc then turns the other way.</summary>
    public BulgeVertex Mirrored() => new(-X, Y, -Bulge);
}
