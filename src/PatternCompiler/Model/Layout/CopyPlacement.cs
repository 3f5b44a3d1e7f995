using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.Model.Layout;

/// <summary>Where the copies of an instance land.</summary>
internal static class CopyPlacement
{
    /// <summary>The map of one copy, from the coordinates of the placed cell to those of the placing one.</summary>
    public static Affine Of(Instance instance, int column, int row)
    {
        (double sin, double cos) = Trigonometry.SinCosDegrees(instance.Orientation.RotationDegrees);
        (double scaleX, double scaleY) = (instance.Orientation.ScaleX, instance.Orientation.ScaleY);
        Repetition repetition = instance.Repetition;
        return new(
            cos * scaleX,
            -sin * scaleY,
            sin * scaleX,
            cos * scaleY,
            instance.Origin.X + ((double)column * repetition.ColumnStep.X) + ((double)row * repetition.RowStep.X),
            instance.Origin.Y + ((double)column * repetition.ColumnStep.Y) + ((double)row * repetition.RowStep.Y));
    }
}
