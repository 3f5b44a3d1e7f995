using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>Doses of figures before correction: drawn factor times the layer's.</summary>
internal sealed class FigureDoses
{
    // Room for the rounding of dose factors and clock ticks.
    private const double Room = 1.02;
    private readonly LayerDose[] layers;
    private readonly bool[] haveHeights;
    private readonly double wholeDose;

    /// <param name="layers">Names of the document's layers.</param>
    /// <param name="options">How layers are written.</param>
    public FigureDoses(IReadOnlyList<string> layers, ProximityOptions options)
    {
        this.layers = [.. layers.Select(name => options.ByLayer.GetValueOrDefault(name) ?? options.General)];
        haveHeights = [.. layers.Select(options.Relief.Contains)];
        wholeDose = (options.Response?.ClearingCoulombsPerSquareMetre ?? 0) / options.AreaDoseCoulombsPerSquareMetre;
    }

    /// <summary>True if the figure is to leave a part of the film.</summary>
    public bool HasHeight(in Figure figure) => haveHeights[figure.Layer] && figure.Kind == FigureKind.Trapezoid && Of(figure) < wholeDose;

    /// <summary>Dose of a figure, 1 for the base dose of its kind.</summary>
    public double Of(Figure figure) => figure.DoseFactor.Value * layers[figure.Layer].Of(figure.Kind);

    /// <summary>
    /// Correction below which the figure's points would need less than the controller's shortest dwell; at most 1: what is
    /// below it uncorrected is left to the fill.
    /// </summary>
    public double SmallestCorrectionOf(Figure figure)
    {
        double dose = Of(figure);
        return figure.Kind == FigureKind.Trapezoid && dose > 0 ? Math.Min(1, Room * layers[figure.Layer].SmallestArea / dose) : 0;
    }
}
