using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Curves;

/// <summary>A curve in drawing units that can be turned into chords at whatever scale it is needed.</summary>
internal abstract class DxfCurve
{
    /// <summary>True if the curve ends where it starts.</summary>
    public abstract bool IsClosed { get; }

    /// <summary>The curve with x reversed: what is drawn in a plane that is seen from behind.</summary>
    public abstract DxfCurve Mirrored();

    /// <summary>
    /// Appends the curve's points in grid steps, not rounded; the first point of a closed curve is not repeated. False if
    /// part of the curve lies outside the grid's range; then <paramref name="points"/> is of no use.
    /// </summary>
    public abstract bool TryFlatten(List<PlanePoint> points, in Placement placement, double chordError);
}
