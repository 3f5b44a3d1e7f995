using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Compare;

/// <summary>One layer and dose factor of two layouts or figures documents, compared as areas.</summary>
/// <param name="Layer">Layer name.</param>
/// <param name="DoseFactor">Dose factor.</param>
/// <param name="FirstSquareNanometres">Area in the first document, overlaps counted once.</param>
/// <param name="SecondSquareNanometres">Area in the second document.</param>
/// <param name="DifferentSquareNanometres">Area that only one of them covers.</param>
/// <param name="EdgeShiftNanometres">
/// Largest distance from an outline of one to the nearest outline of the other, measured at the corners and middles of
/// the edges around the different area; the extent of an area that has no counterpart at all.
/// </param>
/// <param name="XNanometres">Where that is.</param>
/// <param name="YNanometres">Where that is.</param>
/// <param name="UnmatchedLines">Single lines and dots that only one of them has.</param>
internal sealed record LayerComparison(
    string Layer,
    DoseFactor DoseFactor,
    double FirstSquareNanometres,
    double SecondSquareNanometres,
    double DifferentSquareNanometres,
    double EdgeShiftNanometres,
    double XNanometres,
    double YNanometres,
    long UnmatchedLines)
{
    /// <summary>True if no edge is shifted by more than this, and every single line and dot has its counterpart.</summary>
    public bool IsWithin(double nanometres) => UnmatchedLines == 0 && EdgeShiftNanometres <= nanometres;
}
