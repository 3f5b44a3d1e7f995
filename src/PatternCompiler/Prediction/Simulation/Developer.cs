using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Prediction.Shapes;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// Develops a map of charge: spreads the energy, follows the level at which the resist develops, and measures where the
/// edges come to lie. Works tile by tile; the result does not depend on the number of threads.
/// </summary>
internal static class Developer
{
    /// <summary>Develops.</summary>
    /// <param name="map">The charge.</param>
    /// <param name="layout">
    /// What is drawn, on <see cref="SimulationOptions.GridPicometres"/>; null to measure nothing.
    /// </param>
    /// <param name="options">Resist and measurement.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public static SimulationResult Run(
        ChargeMap map, DrawnPattern? layout, SimulationOptions options, CancellationToken cancellation)
    {
        var field = new EnergyField(map, options.Spread, options.SpotNanometres);
        double pixel = map.PixelNanometres;
        Dictionary<(int Column, int Row), List<EdgeSample>> samples = layout is null
            ? []
            : EdgeSampler.Sample(layout.Areas, options.GridPicometres, options, map.TileNanometres, map.Window);
        var heights = new HeightSampler(options, map.TileNanometres, map.Window);
        List<(int Column, int Row)> places =
        [
            .. field.TilesReaching(options.LevelCoulombsPerSquareMetre).Union(heights.Places.Keys).OrderBy(place => place.Row).ThenBy(place => place.Column),
        ];
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

        var heightTallies = new HeightTally?[places.Count];
        var zones = new ZoneTallies(options, map.TileNanometres);
        var contours = new ContourPieces?[places.Count];
        var tallies = new EdgeErrorTally?[places.Count];
        field.Visit(places, margin, () => new TileContours(pixel, options.LevelCoulombsPerSquareMetre, options.BiasNanometres, map.Window, options.GridPicometres), (i, scratch, tracer) =>
        {
            List<EdgeSample>? here = samples.GetValueOrDefault(places[i]);
            EnergyTile tile = field.Compute(places[i], here is null ? 2 : margin, scratch);
            contours[i] = tracer.Trace(tile);
            energy?.Add(tile);
            thickness?.Add(tile);
            if (options.Response is { } response && heights.Places.GetValueOrDefault(places[i]) is { } wanted)
            {
                heightTallies[i] = new HeightTally(options.Heights);
                heightTallies[i]!.Measure(tile, pixel, wanted, response);
            }

            if (here is not null)
            {
                tallies[i] = new EdgeErrorTally();
                tallies[i]!.Measure(tile, pixel, options.LevelCoulombsPerSquareMetre, here, options);
                zones.Measure(places[i], tile, pixel, here);
            }
        }, cancellation);
        ContourSet printed = ContourJoiner.Join(contours);
        return new SimulationResult(
            options.GridPicometres,
            printed,
            layout is null ? null : Report(places, samples, tallies, zones, pixel, options),
            layout is null ? null : Compare(printed, layout, map, options, cancellation).Resting(options.RestNanometres),
            map.TotalCoulombs,
            energy?.ToMap())
        {
            ZoneEdges = zones.ToReports(),
            Thickness = thickness?.ToMap(),
            HeightsExtent = ExtentOf(options),
            Heights = Sum(heightTallies, options).ToReports(heights.Narrow),
        };
    }

    private static SampleWindow? ExtentOf(SimulationOptions options)
    {
        double scale = options.GridPicometres * 1e-3;
        return options.Heights
            .Select(height => GridBox.Around(height.Area))
            .Select(box => (SampleWindow?)new SampleWindow(box.XLeft * scale, box.YBottom * scale, box.XRight * scale, box.YTop * scale))
            .Aggregate((SampleWindow?)null, (all, next) => all?.With(next!.Value) ?? next);
    }

    private static HeightTally Sum(HeightTally?[] tallies, SimulationOptions options)
    {
        var sum = new HeightTally(options.Heights);
        foreach (HeightTally tally in tallies.OfType<HeightTally>())
        {
            sum.Add(tally);
        }

        return sum;
    }

    private static ShapeReport Compare(
        ContourSet printed, DrawnPattern layout, ChargeMap map, SimulationOptions options, CancellationToken cancellation)
    {
        if (map.Window is not { } window)
        {
            return ShapeComparer.Run(printed, layout.Shapes, options.GridPicometres, map.PixelNanometres, options.SearchNanometres, null, cancellation);
        }

        // Outlines close along the window's border, drawn ones as printed ones; near it, what hangs together cannot be told.
        double steps = 1000.0 / options.GridPicometres;
        var frame = new GridBox(OnGrid(window.Left), OnGrid(window.Bottom), OnGrid(window.Right), OnGrid(window.Top));
        ContourSet seen = RegionBoolean.Compute(layout.Shapes, frame.ToContourSet(), BooleanOperation.Intersection, limits: options.Limits, cancellation: cancellation);
        return ShapeComparer.Run(
            printed, seen, options.GridPicometres, map.PixelNanometres, options.SearchNanometres, window.Widened(-options.SearchNanometres), cancellation);

        int OnGrid(double nanometres) => (int)Math.Clamp(Math.Round(nanometres * steps), -GridPoint.Limit, GridPoint.Limit);
    }

    private static EdgeErrorReport Report(
        List<(int Column, int Row)> places,
        Dictionary<(int Column, int Row), List<EdgeSample>> samples,
        EdgeErrorTally?[] tallies,
        ZoneTallies zones,
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
                zones.Measure(place, null, pixel, edges);
            }
        }

        return total.ToReport();
    }
}
