namespace PatternCompiler.Measure;

/// <summary>Two combs of different pitch that face each other.</summary>
/// <param name="XNanometres">Middle between them.</param>
/// <param name="YNanometres">Middle between them.</param>
/// <param name="IsUpright">Their teeth stand one above another, on the two sides of an upright border.</param>
/// <param name="OffsetX">How far the right or upper comb lies from where the left or lower one says.</param>
/// <param name="OffsetY">The same along y.</param>
/// <param name="ErrorX">Standard error by the picture's noise.</param>
/// <param name="ErrorY">Standard error by the picture's noise.</param>
/// <param name="StepNanometres">Difference of the pitches: one reading.</param>
/// <param name="Teeth">Teeth that were measured.</param>
internal sealed record MeasuredVernier(
    double XNanometres, double YNanometres, bool IsUpright, double OffsetX, double OffsetY, double ErrorX, double ErrorY, double StepNanometres, int Teeth)
{
    /// <summary>Number of the pair of teeth that stands in line.</summary>
    public double Reading => (IsUpright ? OffsetY : OffsetX) / StepNanometres;
}
