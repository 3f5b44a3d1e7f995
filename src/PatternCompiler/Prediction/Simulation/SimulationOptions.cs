using System.Collections.Immutable;
using PatternCompiler.Instrument;
using PatternCompiler.Limits;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>What development needs to know.</summary>
/// <param name="Spread">Energy spread of an ideally fine beam in the resist.</param>
/// <param name="SpotNanometres">Spot, full width at half maximum.</param>
/// <param name="LevelCoulombsPerSquareMetre">
/// Energy at which the resist prints, as the dose of a large area that gives it: of a resist with a known response, its
/// <see cref="ResistResponse.PrintingCoulombsPerSquareMetre"/>.
/// </param>
internal sealed record SimulationOptions(SpreadFunction Spread, double SpotNanometres, double LevelCoulombsPerSquareMetre)
{
    /// <summary>How far development moves every edge outward; negative moves it inward.</summary>
    public double BiasNanometres { get; init; }

    /// <summary>Grid of the printed outlines.</summary>
    public long GridPicometres { get; init; } = 100;

    /// <summary>Distance between the places where the error of an edge is measured.</summary>
    public double SampleNanometres { get; init; } = 10;

    /// <summary>How far from a drawn edge the printed one is looked for.</summary>
    public double SearchNanometres { get; init; } = 100;

    /// <summary>
    /// Corners are always rounded: edges are not measured nearer to a corner than this. 0 for three standard deviations of
    /// the beam with its forward scattering.
    /// </summary>
    public double CornerNanometres { get; init; }

    internal double CornerDistanceNanometres => CornerNanometres > 0
        ? CornerNanometres
        : 3 * Spread.WithSpot(SpotNanometres).Terms[0].RangeNanometres / Math.Sqrt(2);

    /// <summary>Keep the error of every place, to compare it with that of another simulation.</summary>
    public bool KeepsPlaces { get; init; }

    /// <summary>Parts whose edges are also reported alone.</summary>
    public ImmutableArray<SampleWindow> Zones { get; init; } = [];

    /// <summary>Where a beam that is never off rests before and after writing; what it prints there is no fault of shape. Null where it is off.</summary>
    public (double X, double Y)? RestNanometres { get; init; }

    /// <summary>Step of the energy map to keep, 0 for none.</summary>
    public double MapStepNanometres { get; init; }

    /// <summary>
    /// Thickness against dose: for a map of what remains with the step <see cref="MapStepNanometres"/>, and for <see cref="Heights"/>;
    /// null for neither.
    /// </summary>
    public ResistResponse? Response { get; init; }

    /// <summary>Areas that are to keep a part of the film, on the grid <see cref="GridPicometres"/>; what remains there is measured.</summary>
    public ImmutableArray<HeightArea> Heights { get; init; } = [];

    /// <summary>How many crossings drawn outlines may have with the border of a window.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;
}
