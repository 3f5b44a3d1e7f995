namespace PatternCompiler.Prediction.Shapes;

/// <summary>
/// A connected part of the plane as rings divide it: what lies inside a ring and in none of the rings within it. An outer ring
/// has an area inside, a hole's ring none.
/// </summary>
/// <param name="Ring">The ring, or −1 for the area outside all rings.</param>
/// <param name="IsArea">Covered.</param>
internal readonly record struct Region(int Ring, bool IsArea)
{
    public static Region Outside { get; } = new(-1, false);
}

/// <summary>A stretch of a row that lies in one printed and one drawn region.</summary>
internal readonly record struct RowStretch(double Left, double Right, Region Printed, Region Drawn);
