namespace PatternCompiler.Prediction.Compare;

/// <summary>A square on the sample whose exposure differs between two documents.</summary>
/// <param name="XNanometres">Centre, from the field's centre.</param>
/// <param name="YNanometres">Centre, from the field's centre.</param>
/// <param name="First">Exposure by the first document, in the comparison's unit.</param>
/// <param name="Second">Exposure by the second document.</param>
internal readonly record struct ExposureCell(double XNanometres, double YNanometres, double First, double Second);
