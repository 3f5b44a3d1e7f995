using System.Collections.Immutable;
using PatternCompiler.Instrument;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Adds up what remains of the film in areas with heights.</summary>
internal sealed class HeightTally(ImmutableArray<HeightArea> areas)
{
    private readonly (long Count, double Sum, double Squares, double Worst, double X, double Y)[] sums = new (long, double, double, double, double, double)[areas.Length];

    /// <summary>Looks at places on a tile.</summary>
    public void Measure(EnergyTile tile, double pixel, List<HeightSample> samples, ResistResponse response)
    {
        foreach (HeightSample sample in samples)
        {
            double error = response.RemainingFraction(tile.At(sample.X, sample.Y, pixel)) - areas[sample.Area].Remaining;
            Add(sample.Area, (1, error, error * error, error, sample.X, sample.Y));
        }
    }

    /// <summary>Adds another tally.</summary>
    public void Add(HeightTally other)
    {
        for (int area = 0; area < sums.Length; area++)
        {
            Add(area, other.sums[area]);
        }
    }

    /// <summary>The areas that were looked at.</summary>
    public ImmutableArray<HeightReport> ToReports(bool[] narrow) =>
    [
        .. Enumerable.Range(0, sums.Length).Where(area => sums[area].Count > 0).Select(area =>
        {
            (long count, double sum, double squares, double worst, double x, double y) = sums[area];
            double wanted = areas[area].Remaining;
            return new HeightReport(wanted, count, wanted + (sum / count), Math.Sqrt(squares / count), worst, x, y, narrow[area]);
        }),
    ];

    private void Add(int area, (long Count, double Sum, double Squares, double Worst, double X, double Y) more)
    {
        ref var all = ref sums[area];
        bool isWorse = Math.Abs(more.Worst) > Math.Abs(all.Worst) || all.Count == 0;
        all = (all.Count + more.Count, all.Sum + more.Sum, all.Squares + more.Squares,
            isWorse ? more.Worst : all.Worst, isWorse ? more.X : all.X, isWorse ? more.Y : all.Y);
    }
}

/// <summary>What is left of the film where a part of it is wanted. Numbers are parts of the film.</summary>
/// <param name="Wanted">What is to remain.</param>
/// <param name="Places">Places that were looked at.</param>
/// <param name="Mean">What remains on average.</param>
/// <param name="RootMeanSquareError">Root mean square of what remains less what is wanted.</param>
/// <param name="WorstError">The largest of these differences.</param>
/// <param name="WorstXNanometres">Where.</param>
/// <param name="WorstYNanometres">Where.</param>
/// <param name="IsNarrow">True if the area is narrower than its borders are blurred, so that they count, too.</param>
internal sealed record HeightReport(
    double Wanted, long Places, double Mean, double RootMeanSquareError, double WorstError, double WorstXNanometres, double WorstYNanometres, bool IsNarrow);
