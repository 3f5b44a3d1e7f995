namespace PatternCompiler.Measure;

/// <summary>A square.</summary>
/// <param name="XNanometres">Its middle.</param>
/// <param name="YNanometres">Its middle.</param>
/// <param name="SideNanometres">Its side.</param>
/// <param name="DoseFactor">Its dose factor.</param>
/// <param name="Contrast">Grey inside less grey around, as a part of that of a printed edge.</param>
/// <param name="Prints">Whether its middle is printed; null where the greys lie between.</param>
internal sealed record MeasuredSquare(double XNanometres, double YNanometres, double SideNanometres, double DoseFactor, double Contrast, bool? Prints);
