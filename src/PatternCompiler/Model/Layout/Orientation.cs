namespace PatternCompiler.Model.Layout;

/// <summary>Scale (a negative factor mirrors that axis), then counter-clockwise rotation.</summary>
/// <param name="RotationDegrees">Counter-clockwise angle in degrees; whole quarter turns are exact.</param>
/// <param name="ScaleX">Factor on x before the rotation, not zero.</param>
/// <param name="ScaleY">Factor on y before the rotation, not zero.</param>
internal readonly record struct Orientation(double RotationDegrees, double ScaleX, double ScaleY)
{
    /// <summary>As drawn.</summary>
    public static Orientation Identity => new(0, 1, 1);
}
