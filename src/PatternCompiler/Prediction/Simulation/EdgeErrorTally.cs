using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Measures edges on one tile after another and adds up.</summary>
internal sealed class EdgeErrorTally
{
    private const int WorstKept = 20;
    private const double CellNanometres = EdgeErrorReport.ClusterNanometres / 2;
    private readonly Dictionary<(int Column, int Row), EdgeError> worst = [];
    private readonly List<EdgeError> kept = [];
    private long samples;
    private long lost;
    private EdgeError? firstLost;
    private double sum;
    private double squares;
    private double lowest = double.PositiveInfinity;
    private double highest = double.NegativeInfinity;

    /// <summary>Measures samples on their tile; null where the tile has no energy at all.</summary>
    public void Measure(EnergyTile? tile, double pixel, double level, IEnumerable<EdgeSample> places, SimulationOptions options)
    {
        foreach (EdgeSample place in places)
        {
            double? error = tile is null ? null : Find(tile, pixel, level, place, options.SearchNanometres);
            if (error is not { } found)
            {
                bool isExposed = tile is not null && tile.At(place.X, place.Y, pixel) >= level;
                AddLost(new EdgeError(place.X, place.Y, isExposed ? options.SearchNanometres : -options.SearchNanometres));
                continue;
            }

            var measured = new EdgeError(place.X, place.Y, found + options.BiasNanometres);
            Add(measured);
            if (options.KeepsPlaces)
            {
                kept.Add(measured);
            }
        }
    }

    /// <summary>Adds one place where none was found.</summary>
    public void AddLost(EdgeError place)
    {
        samples++;
        lost++;
        firstLost ??= place;
    }

    /// <summary>Adds another tally, whose places come after these.</summary>
    public void Add(EdgeErrorTally other)
    {
        samples += other.samples;
        lost += other.lost;
        firstLost ??= other.firstLost;
        kept.AddRange(other.kept);
        sum += other.sum;
        squares += other.squares;
        (lowest, highest) = (Math.Min(lowest, other.lowest), Math.Max(highest, other.highest));
        foreach (EdgeError error in other.worst.Values)
        {
            Rank(error);
        }
    }

    public EdgeErrorReport ToReport()
    {
        long measured = samples - lost;
        double mean = measured > 0 ? sum / measured : 0;
        double variance = measured > 0 ? Math.Max(0, squares / measured - mean * mean) : 0;
        return new EdgeErrorReport(samples, lost, firstLost, mean, Math.Sqrt(variance), Clusters())
        {
            Places = [.. kept],
            LowestNanometres = measured > 0 ? lowest : 0,
            HighestNanometres = measured > 0 ? highest : 0,
        };
    }

    /// <summary>From the drawn edge outward while it is exposed, or inward until it is.</summary>
    private static double? Find(EnergyTile tile, double pixel, double level, EdgeSample place, double search)
    {
        double step = pixel / 2;
        double before = tile.At(place.X, place.Y, pixel);
        bool isExposed = before >= level;
        double direction = isExposed ? 1 : -1;
        for (double at = step; at <= search; at += step)
        {
            double energy = tile.At(place.X + direction * at * place.OutX, place.Y + direction * at * place.OutY, pixel);
            if (energy >= level != isExposed)
            {
                return direction * (at - step * (energy - level) / (energy - before));
            }

            before = energy;
        }

        return null;
    }

    /// <summary>Adds one place where an edge was found.</summary>
    public void Add(EdgeError error)
    {
        samples++;
        sum += error.Nanometres;
        squares += error.Nanometres * error.Nanometres;
        (lowest, highest) = (Math.Min(lowest, error.Nanometres), Math.Max(highest, error.Nanometres));
        Rank(error);
    }

    /// <summary>Keeps the worst of every cell.</summary>
    private void Rank(EdgeError error)
    {
        var cell = ((int)Math.Floor(error.XNanometres / CellNanometres), (int)Math.Floor(error.YNanometres / CellNanometres));
        if (!worst.TryGetValue(cell, out EdgeError known) || Math.Abs(error.Nanometres) > Math.Abs(known.Nanometres))
        {
            worst[cell] = error;
        }
    }

    /// <summary>The worst places, each farther from every worse one than the size of a cluster.</summary>
    private ImmutableArray<EdgeError> Clusters()
    {
        var chosen = ImmutableArray.CreateBuilder<EdgeError>();
        foreach (EdgeError error in worst.Values.OrderByDescending(e => Math.Abs(e.Nanometres)).ThenBy(e => e.YNanometres).ThenBy(e => e.XNanometres))
        {
            if (!chosen.Any(other => Math.Abs(other.XNanometres - error.XNanometres) <= EdgeErrorReport.ClusterNanometres
                && Math.Abs(other.YNanometres - error.YNanometres) <= EdgeErrorReport.ClusterNanometres))
            {
                chosen.Add(error);
            }

            if (chosen.Count == WorstKept)
            {
                break;
            }
        }

        return chosen.ToImmutable();
    }
}

/// <summary>How far the printed edge lies outside the drawn one at a place.</summary>
/// <param name="XNanometres">Place on the drawn edge.</param>
/// <param name="YNanometres">Place on the drawn edge.</param>
/// <param name="Nanometres">Positive where the printed area is larger than drawn.</param>
internal readonly record struct EdgeError(double XNanometres, double YNanometres, double Nanometres);
