using System.Collections.Immutable;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Prediction.Seams;

/// <summary>What prints at a seam.</summary>
/// <param name="Seam">The seam.</param>
/// <param name="OverlapNanometres">How much closer the stage brings the fields than it should: this strip gets both doses. Negative: they stand apart by so much, and a strip gets none.</param>
/// <param name="SidewaysNanometres">How far the second field lies too far up (of an upright seam) or right.</param>
/// <param name="Faults">Number of each kind of shape fault there.</param>
/// <param name="Edges">Edges there.</param>
internal sealed record SeamVerdict(
    Seam Seam, double OverlapNanometres, double SidewaysNanometres, ImmutableArray<(ShapeFaultKind Kind, int Count)> Faults, EdgeErrorReport Edges)
{
    /// <summary>Places where an area prints in parts or not at all.</summary>
    public int Opens => Faults.Where(fault => fault.Kind is ShapeFaultKind.Open or ShapeFaultKind.Cut or ShapeFaultKind.Lost or ShapeFaultKind.Hole).Sum(fault => fault.Count);

    /// <summary>The largest distance that an edge prints inside the drawn one, 0 if none does.</summary>
    public double ThinsNanometres => Math.Max(0, -Edges.LowestNanometres);

    /// <summary>The largest distance that an edge prints outside the drawn one, where doses add up; 0 if none does.</summary>
    public double WidensNanometres => Math.Max(0, Edges.HighestNanometres);

    /// <summary>Judges every seam.</summary>
    /// <param name="seams">The seams; their windows were the simulation's zones, in the same order.</param>
    /// <param name="errors">What the stage missed.</param>
    /// <param name="result">The simulation against a layout.</param>
    public static ImmutableArray<SeamVerdict> Of(ImmutableArray<Seam> seams, StageErrors errors, SimulationResult result) =>
    [
        .. seams.Select((seam, i) =>
        {
            (double firstX, double firstY) = errors.At(seam.First);
            (double secondX, double secondY) = errors.At(seam.Second);
            (double x, double y) = (secondX - firstX, secondY - firstY);
            return new SeamVerdict(
                seam,
                -(seam.IsUpright ? x : y),
                seam.IsUpright ? y : x,
                [.. result.Shapes!.Faults.Where(fault => fault.Window.Meets(seam.Window)).GroupBy(fault => fault.Kind).OrderBy(group => group.Key).Select(group => (group.Key, group.Count()))],
                result.ZoneEdges[i]);
        }),
    ];
}
