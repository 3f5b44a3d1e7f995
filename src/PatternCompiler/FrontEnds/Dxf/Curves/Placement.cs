using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Curves;

/// <summary>From drawing units to grid steps of the cell that the geometry goes into.</summary>
/// <param name="StepsPerUnit">Grid steps to one drawing unit.</param>
/// <param name="Base">Point of the drawing that becomes the cell's origin.</param>
internal readonly record struct Placement(double StepsPerUnit, PlanePoint Base)
{
    /// <summary>A point of the drawing in grid steps.</summary>
    public PlanePoint Apply(PlanePoint point) => StepsPerUnit * (point - Base);

    /// <summary>A point in grid steps as drawn.</summary>
    public PlanePoint Undo(PlanePoint point) => ((1 / StepsPerUnit) * point) + Base;
}
