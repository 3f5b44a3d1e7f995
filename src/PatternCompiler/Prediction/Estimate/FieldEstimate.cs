namespace PatternCompiler.Prediction.Estimate;

/// <summary>Use of the deflection range.</summary>
/// <param name="UsedX">Part of the X codes between the lowest and highest one used, 0 to 1.</param>
/// <param name="UsedY">Part of the Y codes.</param>
/// <param name="MarginCodes">Codes left between the pattern and the nearest end of either range.</param>
/// <param name="LeftNanometres">Extent on the sample of everything exposed.</param>
/// <param name="BottomNanometres">Extent on the sample.</param>
/// <param name="RightNanometres">Extent on the sample.</param>
/// <param name="TopNanometres">Extent on the sample.</param>
public readonly record struct FieldEstimate(
    double UsedX,
    double UsedY,
    long MarginCodes,
    double LeftNanometres,
    double BottomNanometres,
    double RightNanometres,
    double TopNanometres);
