using PatternCompiler.Model.Figures;

namespace PatternCompiler.Reports;

/// <summary>What one layer asks for and gets, areas, lines and dots each in a row of their own.</summary>
/// <param name="Layer">Name of the layer.</param>
/// <param name="Kind">Areas, lines or dots.</param>
/// <param name="Figures">Number of figures.</param>
/// <param name="Extent">Square metres of areas, metres of lines, number of dots.</param>
/// <param name="LowestDose">Smallest dose asked for, in C/m² for areas, C/m for lines, C for dots.</param>
/// <param name="HighestDose">Largest dose asked for.</param>
/// <param name="Points">Exposed points.</param>
/// <param name="ChargeCoulombs">Charge of all strokes.</param>
internal sealed record DoseRow(
    string Layer, FigureKind Kind, long Figures, double Extent, double LowestDose, double HighestDose, long Points, double ChargeCoulombs)
{
    /// <summary>Charge over extent: the dose that is written on average.</summary>
    public double MeanDose => Extent > 0 ? ChargeCoulombs / Extent : 0;
}
