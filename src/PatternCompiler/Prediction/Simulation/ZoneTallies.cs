using System.Collections.Concurrent;
using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Measures edges in some parts alone. Tiles may come from several threads, in any order.</summary>
internal sealed class ZoneTallies(SimulationOptions options, double tileNanometres)
{
    private readonly ConcurrentBag<(int Zone, int Row, int Column, EdgeErrorTally Tally)> parts = [];

    /// <summary>Measures samples on their tile; null where the tile has no energy at all.</summary>
    public void Measure((int Column, int Row) place, EnergyTile? tile, double pixel, List<EdgeSample> samples)
    {
        var area = new SampleWindow(
            place.Column * tileNanometres, place.Row * tileNanometres, (place.Column + 1) * tileNanometres, (place.Row + 1) * tileNanometres);
        for (int zone = 0; zone < options.Zones.Length; zone++)
        {
            SampleWindow window = options.Zones[zone];
            if (window.Meets(area))
            {
                var tally = new EdgeErrorTally();
                tally.Measure(tile, pixel, options.LevelCoulombsPerSquareMetre, samples.Where(sample => window.Contains(sample.X, sample.Y)), options);
                parts.Add((zone, place.Row, place.Column, tally));
            }
        }
    }

    /// <summary>The edges of every zone.</summary>
    public ImmutableArray<EdgeErrorReport> ToReports()
    {
        EdgeErrorTally[] totals = [.. options.Zones.Select(_ => new EdgeErrorTally())];
        foreach ((int zone, _, _, EdgeErrorTally tally) in parts.OrderBy(part => part.Zone).ThenBy(part => part.Row).ThenBy(part => part.Column))
        {
            totals[zone].Add(tally);
        }

        return [.. totals.Select(tally => tally.ToReport())];
    }
}
