using System.Collections.Immutable;
using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// How far dose and development may stray before edges do: edge errors of a layout over a range of doses, and from them the
/// range in which they stay within a limit at each bias. A dose factor k moves the level to level/k; the energy is computed
/// once.
/// </summary>
internal static class ProcessWindow
{
    /// <summary>Measures.</summary>
    /// <param name="map">Charge at the nominal dose.</param>
    /// <param name="layout">Merged outlines of the layout, the drawn area on their left.</param>
    /// <param name="options">Resist and measurement; its bias is the middle of the biases.</param>
    /// <param name="doseFactors">Dose factors, ascending, all above zero.</param>
    /// <param name="limitNanometres">Largest edge error allowed.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public static ProcessWindowReport Measure(
        ChargeMap map,
        ContourSet layout,
        SimulationOptions options,
        ImmutableArray<double> doseFactors,
        double limitNanometres,
        CancellationToken cancellation)
    {
        var field = new EnergyField(map, options.Spread, options.SpotNanometres);
        double pixel = map.PixelNanometres;
        (KeyValuePair<(int Column, int Row), List<EdgeSample>> Tile, int Index)[] tiles =
        [
            .. EdgeSampler.Sample(layout, options.GridPicometres, options, map.TileNanometres, map.Window)
                .OrderBy(s => s.Key.Row).ThenBy(s => s.Key.Column).Select((tile, index) => (tile, index)),
        ];
        int margin = (int)Math.Ceiling(options.SearchNanometres / pixel) + 2;
        var tallies = new EdgeErrorTally[tiles.Length][];
        field.Visit([.. tiles.Select(tile => tile.Tile.Key)], margin, () => 0, (i, scratch, _) =>
        {
            EnergyTile tile = field.Compute(tiles[i].Tile.Key, margin, scratch);
            tallies[i] = new EdgeErrorTally[doseFactors.Length];
            for (int d = 0; d < doseFactors.Length; d++)
            {
                tallies[i][d] = new EdgeErrorTally();
                tallies[i][d].Measure(tile, pixel, options.LevelCoulombsPerSquareMetre / doseFactors[d], tiles[i].Tile.Value, options);
            }
        }, cancellation);

        var steps = ImmutableArray.CreateBuilder<DoseStep>(doseFactors.Length);
        for (int d = 0; d < doseFactors.Length; d++)
        {
            var total = new EdgeErrorTally();
            foreach (EdgeErrorTally[] tally in tallies)
            {
                total.Add(tally[d]);
            }

            steps.Add(new DoseStep(doseFactors[d], total.ToReport()));
        }

        return new ProcessWindowReport(steps.MoveToImmutable(), limitNanometres);
    }
}
