namespace PatternCompiler.Prediction.Simulation;

/// <summary>Measures edges on one tile after another and adds up.</summary>
internal sealed class EdgeErrorTally
{
    private const int WorstKept = 20;
    private readonly List<EdgeError> worst = [];
    private long samples;
    private long lost;
    private EdgeError? firstLost;
    private double sum;
    private double squares;

    /// <summary>Measures samples on their tile; null where the tile has no energy at all.</summary>
    public void Measure(EnergyTile? tile, double pixel, double level, List<EdgeSample> places, SimulationOptions options)
    {
        foreach (EdgeSample place in places)
        {
            samples++;
            double? error = tile is null ? null : Find(tile, pixel, level, place, options.SearchNanometres);
            if (error is not { } found)
            {
                lost++;
                bool isExposed = tile is not null && tile.At(place.X, place.Y, pixel) >= level;
                firstLost ??= new EdgeError(place.X, place.Y, isExposed ? options.SearchNanometres : -options.SearchNanometres);
                continue;
            }

            Add(new EdgeError(place.X, place.Y, found + options.BiasNanometres));
        }
    }

    /// <summary>Adds another tally, whose places come after these.</summary>
    public void Add(EdgeErrorTally other)
    {
        samples += other.samples;
        lost += other.lost;
        firstLost ??= other.firstLost;
        sum += other.sum;
        squares += other.squares;
        foreach (EdgeError error in other.worst)
        {
            Rank(error);
        }
    }

    public EdgeErrorReport ToReport()
    {
        long measured = samples - lost;
        double mean = measured > 0 ? sum / measured : 0;
        double variance = measured > 0 ? Math.Max(0, squares / measured - mean * mean) : 0;
        return new EdgeErrorReport(samples, lost, firstLost, mean, Math.Sqrt(variance), [.. worst]);
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

    private void Add(EdgeError error)
    {
        sum += error.Nanometres;
        squares += error.Nanometres * error.Nanometres;
        Rank(error);
    }

    private void Rank(EdgeError error)
    {
        if (worst.Count == WorstKept && Math.Abs(error.Nanometres) <= Math.Abs(worst[^1].Nanometres))
        {
            return;
        }

        int at = worst.Count;
        while (at > 0 && Math.Abs(worst[at - 1].Nanometres) < Math.Abs(error.Nanometres))
        {
            at--;
        }

        worst.Insert(at, error);
        if (worst.Count > WorstKept)
        {
            worst.RemoveAt(WorstKept);
        }
    }
}
