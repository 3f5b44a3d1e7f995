namespace PatternCompiler.Passes.Route;

/// <summary>What a way would print.</summary>
/// <param name="InsideNanometres">Length of what prints within the pattern's bounds.</param>
/// <param name="OutsideNanometres">Length of what prints on detours around it, where it does little harm.</param>
/// <param name="MarginalNanometres">Length of what prints or comes close to it, that outside the pattern counted as little.</param>
internal readonly record struct RouteScore(double InsideNanometres, double OutsideNanometres, double MarginalNanometres)
{
    /// <summary>What a length around the pattern counts against one within it.</summary>
    public const double OutsideWeight = 1.0 / 16;

    private const double MarginalWeight = 1.0 / 8;

    /// <summary>Harm done.</summary>
    public double Harm => InsideNanometres + OutsideWeight * OutsideNanometres + MarginalWeight * MarginalNanometres;

    /// <summary>The worse of two in every respect.</summary>
    public RouteScore Worse(in RouteScore other) => new(
        Math.Max(InsideNanometres, other.InsideNanometres),
        Math.Max(OutsideNanometres, other.OutsideNanometres),
        Math.Max(MarginalNanometres, other.MarginalNanometres));
}
