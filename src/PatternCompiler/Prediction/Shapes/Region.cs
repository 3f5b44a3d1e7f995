namespace PatternCompiler.Prediction.Shapes;

/// <summary>
/// A connected part of the plane as rings divide it: what lies inside a ring and in none of the rings within it. An outer ring
/// has an area inside, a hole's ring bare area.
/// </summary>
/// <param name="Ring">The ring, or −1 for the ground outside all rings.</param>
/// <param name="IsArea">Covered.</param>
internal readonly record struct Region(int Ring, bool IsArea)
{
    public static Region Outside { get; } = new(-1, false);
}
