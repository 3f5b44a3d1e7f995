namespace PatternCompiler.Measure;

/// <summary>A single line, or several that are drawn on nearly one place.</summary>
/// <param name="StartX">Where it starts, as drawn.</param>
/// <param name="StartY">Where it starts.</param>
/// <param name="EndX">Where it ends.</param>
/// <param name="EndY">Where it ends.</param>
/// <param name="Layer">Its layer.</param>
/// <param name="DoseFactor">Dose factor of each of them.</param>
/// <param name="Times">How many they are.</param>
/// <param name="WidthNanometres">Printed width in the middle.</param>
/// <param name="BeforeStartNanometres">How far it is printed beyond its start; below zero where a piece is missing.</param>
/// <param name="BeyondEndNanometres">How far it is printed beyond its end.</param>
/// <param name="StandardErrorNanometres">Standard error of the worse of the two by the picture's noise.</param>
internal sealed record MeasuredLine(
    double StartX,
    double StartY,
    double EndX,
    double EndY,
    string Layer,
    double DoseFactor,
    int Times,
    double WidthNanometres,
    double BeforeStartNanometres,
    double BeyondEndNanometres,
    double StandardErrorNanometres)
{
    /// <summary>How far its middle lies to the right of where it is drawn, seen from its start to its end.</summary>
    public double RightNanometres { get; init; }

    /// <summary>Standard error of that by the picture's noise.</summary>
    public double RightErrorNanometres { get; init; }
}
