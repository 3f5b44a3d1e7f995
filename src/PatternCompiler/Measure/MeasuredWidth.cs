namespace PatternCompiler.Measure;

/// <summary>A line or gap between two parallel edges.</summary>
/// <param name="IsGap">It is not drawn; else it is.</param>
/// <param name="XNanometres">Middle of what was measured.</param>
/// <param name="YNanometres">Middle of what was measured.</param>
/// <param name="DrawnNanometres">Drawn width.</param>
/// <param name="LengthNanometres">Drawn length of its shorter edge.</param>
/// <param name="Places">Places along it where its width was measured.</param>
/// <param name="WidthNanometres">Mean width.</param>
/// <param name="LowNanometres">Lower end of its 95 % interval; not a number with a single place.</param>
/// <param name="HighNanometres">Upper end.</param>
/// <param name="WidthRoughnessNanometres">Three standard deviations of the width along the line, the picture's noise taken out.</param>
/// <param name="EdgeRoughnessNanometres">The same of its edges.</param>
internal sealed record MeasuredWidth(
    bool IsGap,
    double XNanometres,
    double YNanometres,
    double DrawnNanometres,
    double LengthNanometres,
    int Places,
    double WidthNanometres,
    double LowNanometres,
    double HighNanometres,
    double WidthRoughnessNanometres,
    double EdgeRoughnessNanometres)
{
    /// <summary>Direction across it, of length 1.</summary>
    public double AcrossX { get; init; }

    /// <summary>Direction across it.</summary>
    public double AcrossY { get; init; }

    /// <summary>Dose factor of what is drawn there, or to both sides of a gap; not a number where they differ.</summary>
    public double DoseFactor { get; init; } = double.NaN;

    /// <summary>Bars side by side of which this is the middle one, or a gap beside it; 1 if it stands alone; 0 if it is another one of several.</summary>
    public int Bars { get; init; } = 1;

    /// <summary>From bar to bar; not a number for one alone.</summary>
    public double PitchNanometres { get; init; } = double.NaN;

    /// <summary>Width of what is drawn to either side of a gap that stands alone; not a number elsewhere.</summary>
    public double BesideNanometres { get; init; } = double.NaN;
}
