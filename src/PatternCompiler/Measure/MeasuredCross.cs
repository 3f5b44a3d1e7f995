namespace PatternCompiler.Measure;

/// <summary>A cross.</summary>
/// <param name="XNanometres">Middle as drawn.</param>
/// <param name="YNanometres">Middle as drawn.</param>
/// <param name="MeasuredX">Middle as printed.</param>
/// <param name="MeasuredY">Middle as printed.</param>
/// <param name="ErrorX">Standard error by the picture's noise.</param>
/// <param name="ErrorY">Standard error by the picture's noise.</param>
internal sealed record MeasuredCross(double XNanometres, double YNanometres, double MeasuredX, double MeasuredY, double ErrorX, double ErrorY);
