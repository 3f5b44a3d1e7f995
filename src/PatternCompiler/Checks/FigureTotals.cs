namespace PatternCompiler.Checks;

/// <summary>What a figures document holds altogether.</summary>
/// <param name="Figures">Number of figures.</param>
/// <param name="Trapezoids">Areas among them.</param>
/// <param name="Lines">Single lines among them.</param>
/// <param name="Dots">Dots among them.</param>
/// <param name="XLeftNanometres">Smallest x.</param>
/// <param name="YBottomNanometres">Smallest y.</param>
/// <param name="XRightNanometres">Largest x.</param>
/// <param name="YTopNanometres">Largest y.</param>
public sealed record FigureTotals(
    long Figures,
    long Trapezoids,
    long Lines,
    long Dots,
    double XLeftNanometres,
    double YBottomNanometres,
    double XRightNanometres,
    double YTopNanometres);
