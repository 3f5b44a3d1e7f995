namespace PatternCompiler.Measure.Edges;

/// <summary>One straight edge of a drawing's outlines, the drawn area on its left, in nanometres.</summary>
/// <param name="AX">Where it begins.</param>
/// <param name="AY">Where it begins.</param>
/// <param name="BX">Where it ends.</param>
/// <param name="BY">Where it ends.</param>
/// <param name="Stretch">The stretch of outline without a corner that it belongs to.</param>
/// <param name="StartNanometres">Way along the stretch to where it begins.</param>
internal readonly record struct DrawnEdge(double AX, double AY, double BX, double BY, int Stretch, double StartNanometres)
{
    /// <summary>Its length.</summary>
    public double Length => Math.Sqrt((BX - AX) * (BX - AX) + (BY - AY) * (BY - AY));
}
