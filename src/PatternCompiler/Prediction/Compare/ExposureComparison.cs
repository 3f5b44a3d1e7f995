using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Compare;

/// <summary>How much exposure two documents put where.</summary>
/// <param name="Unit">Unit of the exposures: "C" for strokes, "s" of beam-on time for records.</param>
/// <param name="CellNanometres">Side of the squares into which the sample is divided.</param>
/// <param name="FirstTotal">Whole exposure of the first document.</param>
/// <param name="SecondTotal">Whole exposure of the second document.</param>
/// <param name="MovedFraction">Half the sum of all cells' absolute differences, as part of the larger total: what would have to be moved to make one of the other.</param>
/// <param name="Differing">Cells that differ by more than the tolerance, worst first; no more than the limit asked for.</param>
/// <param name="DifferingCount">Number of all such cells.</param>
/// <param name="LargestFraction">Largest difference of a cell as part of the mean exposure of the exposed cells.</param>
internal sealed record ExposureComparison(
    string Unit,
    double CellNanometres,
    double FirstTotal,
    double SecondTotal,
    double MovedFraction,
    ImmutableArray<ExposureCell> Differing,
    long DifferingCount,
    double LargestFraction);
