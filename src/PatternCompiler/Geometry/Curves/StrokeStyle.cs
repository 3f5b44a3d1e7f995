namespace PatternCompiler.Geometry.Curves;

/// <summary>How a polyline with width is drawn.</summary>
/// <param name="Width">Width, above zero.</param>
/// <param name="End">Shape of both ends.</param>
/// <param name="Join">Shape of the corners.</param>
/// <param name="MitreLimit">Longest mitre, from inner to outer corner, in widths; 1 or more.</param>
internal readonly record struct StrokeStyle(double Width, StrokeEnd End, StrokeJoin Join = StrokeJoin.Mitre, double MitreLimit = StrokeStyle.UsualMitreLimit)
{
    /// <summary>Mitre limit of paths in a layout: corners sharper than about 29° are cut straight.</summary>
    public const double UsualMitreLimit = 4;
}
