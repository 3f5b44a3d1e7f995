namespace PatternCompiler.Passes.Fill.Automatic;

/// <summary>Base doses of one pass over a layer, its dose factor included.</summary>
/// <param name="CoulombsPerSquareNanometre">Of areas.</param>
/// <param name="CoulombsPerNanometre">Of single lines.</param>
internal readonly record struct LayerDoses(double CoulombsPerSquareNanometre, double CoulombsPerNanometre)
{
    private const double NanometresPerMetre = 1e9;

    public static LayerDoses Of(LayerFill fill, FillOptions options)
    {
        double factor = fill.DoseFactor.Value / fill.Passes;
        return new(
            (fill.AreaDoseCoulombsPerSquareMetre ?? options.AreaDoseCoulombsPerSquareMetre) * factor / (NanometresPerMetre * NanometresPerMetre),
            (fill.LineDoseCoulombsPerMetre ?? options.LineDoseCoulombsPerMetre) * factor / NanometresPerMetre);
    }
}
