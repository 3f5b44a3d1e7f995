using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Edge placement of a whole layout.</summary>
/// <param name="Samples">Places measured.</param>
/// <param name="Lost">Places where no printed edge was found within the search distance; not part of the figures below.</param>
/// <param name="FirstLost">The first of them, or null; its error says only whether the place is exposed (positive) or not.</param>
/// <param name="MeanNanometres">Mean error.</param>
/// <param name="DeviationNanometres">Standard deviation about the mean.</param>
/// <param name="Worst">Worst clusters: the largest error of each, largest first. What lies closer to a worse place than <see cref="ClusterNanometres"/> belongs to its cluster.</param>
internal sealed record EdgeErrorReport(
    long Samples,
    long Lost,
    EdgeError? FirstLost,
    double MeanNanometres,
    double DeviationNanometres,
    ImmutableArray<EdgeError> Worst)
{
    /// <summary>Size of a cluster of places, to either side and upward and downward.</summary>
    public const double ClusterNanometres = 500;

    /// <summary>The error farthest inside what is drawn, 0 if nothing was measured.</summary>
    public double LowestNanometres { get; init; }

    /// <summary>The error farthest outside.</summary>
    public double HighestNanometres { get; init; }

    /// <summary>Every place with a printed edge, if they were to be kept.</summary>
    public ImmutableArray<EdgeError> Places { get; init; } = [];

    /// <summary>Three standard deviations about the mean.</summary>
    public double ThreeSigmaNanometres => 3 * DeviationNanometres;

    /// <summary>Largest error by size, 0 if nothing was measured.</summary>
    public double WorstNanometres => Worst.IsDefaultOrEmpty ? 0 : Worst[0].Nanometres;
}
