using System.Collections.Immutable;
using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// Develops a map of charge: spreads the energy, follows the level at which the resist develops, and measures where the
/// edges come to lie. Works tile by tile; the result does not depend on the number of threads.
/// </summary>
public static class Developer
{
    /// <summary>Develops.</summary>
    /// <param name="map">The charge.</param>
    /// <param name="layout">
    /// Merged outlines of the layout on <see cref="SimulationOptions.GridPicometres"/>, the drawn area on their left; null
    /// to measure nothing.
    /// </param>
    /// <param name="options">Resist and measurement.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public static SimulationResult Run(
        ChargeMap map, ContourSet? layout, SimulationOptions options, CancellationToken cancellation)
    {
        var field = new EnergyField(map, options.Spread, options.SpotNanometres);
        double pixel = map.PixelNanometres;
        Dictionary<(int Column, int Row), List<EdgeSample>> samples = layout is null
            ? []
            : EdgeSampler.Sample(layout, options.GridPicometres, options, map.TileNanometres, map.Window);
        List<(int Column, int Row)> places = field.TilesReaching(options.LevelCoulombsPerSquareMetre);
        int margin = layout is null ? 2 : (int)Math.Ceiling(options.SearchNanometres / pixel) + 2;
        SampleMapBuilder? energy = options.MapStepNanometres > 0 ? SampleMapBuilder.For(map, places, options.MapStepNanometres, null) : null;
        SampleMapBuilder? thickness = options is { MapStepNanometres: > 0, Response: not null }
            ? SampleMapBuilder.For(map, places, options.MapStepNanometres, options.Response)
            : null;
        if (options.MapStepNanometres > 0)
        {
            // Not sooner: a map that is too large has been refused by now.
            places = EnergyField.AllBetween(places);
        }

        var chains = new List<ContourChain>[places.Count];
        var tallies = new EdgeErrorTally?[places.Count];
        Parallel.For(0, places.Count, new ParallelOptions { CancellationToken = cancellation }, () => new EnergyScratch(), (i, _, scratch) =>
        {
            List<EdgeSample>? here = samples.GetValueOrDefault(places[i]);
            EnergyTile tile = field.Compute(places[i], here is null ? 2 : margin, scratch);
            chains[i] = TileContours.Trace(tile, pixel, options.LevelCoulombsPerSquareMetre, options.BiasNanometres, map.Window);
            energy?.Add(tile);
            thickness?.Add(tile);
            if (here is not null)
            {
                tallies[i] = new EdgeErrorTally();
                tallies[i]!.Measure(tile, pixel, options.LevelCoulombsPerSquareMetre, here, options);
            }

            return scratch;
        }, _ => { });
        ContourSet printed = ContourJoiner.Join(chains.SelectMany(c => c), options.GridPicometres);
        return new SimulationResult(
            options.GridPicometres,
            printed,
            layout is null ? null : Report(places, samples, tallies, pixel, options),
            layout is null ? [] : StrayFinder.Find(printed, layout, options.GridPicometres),
            map.TotalCoulombs,
            energy?.ToMap())
        {
            Thickness = thickness?.ToMap(),
        };
    }

    private static EdgeErrorReport Report(
        List<(int Column, int Row)> places,
        Dictionary<(int Column, int Row), List<EdgeSample>> samples,
        EdgeErrorTally?[] tallies,
        double pixel,
        SimulationOptions options)
    {
        var total = new EdgeErrorTally();
        foreach (EdgeErrorTally? tally in tallies)
        {
            if (tally is not null)
            {
                total.Add(tally);
            }
        }

        // Edges on tiles where nothing comes near the level are lost.
        var seen = new HashSet<(int, int)>(places);
        foreach (((int, int) place, List<EdgeSample> edges) in samples.OrderBy(s => s.Key.Row).ThenBy(s => s.Key.Column))
        {
            if (!seen.Contains(place))
            {
                total.Measure(null, pixel, options.LevelCoulombsPerSquareMetre, edges, options);
            }
        }

        return total.ToReport();
    }
}
