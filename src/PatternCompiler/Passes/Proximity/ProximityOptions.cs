using System.Collections.Immutable;
using PatternCompiler.Instrument;
using PatternCompiler.Limits;

namespace PatternCompiler.Passes.Proximity;

/// <summary>What the proximity correction reads.</summary>
/// <param name="Spread">Energy spread in the resist, the spot included.</param>
/// <param name="Target">What is made equal.</param>
/// <param name="Tolerance">Largest relative error of the target energy at which the iteration stops, e.g. 0.005.</param>
/// <param name="LargestIterations">Iterations after which it stops in any case.</param>
/// <param name="SmallestPieceNanometres">Figures are not cut smaller than this where the background changes.</param>
/// <param name="DoseClasses">Number of different dose factors to use, spaced in equal ratios; 0 for as many as come out.</param>
/// <param name="LineDosePerAreaDoseNanometres">Base line dose over base area dose: a single line exposes as much as an area of this width.</param>
/// <param name="DotChargePerAreaDoseSquareNanometres">Base dot charge over base area dose.</param>
internal sealed record ProximityOptions(
    SpreadFunction Spread,
    ProximityTarget Target,
    double Tolerance,
    int LargestIterations,
    double SmallestPieceNanometres,
    int DoseClasses,
    double LineDosePerAreaDoseNanometres,
    double DotChargePerAreaDoseSquareNanometres)
{
    /// <summary>
    /// Energy that edges are held to at dose factor 1, over that of a large area at the base dose; the average of an area is held
    /// to twice as much.
    /// </summary>
    public double EdgeEnergy { get; init; } = 0.5;

    /// <summary>
    /// Layers with heights: what is exposed less than development needs to change the whole film is held, averaged over each figure,
    /// to the energy of a large area at its own dose.
    /// </summary>
    public ImmutableHashSet<string> Relief { get; init; } = [];

    /// <summary>What development makes of a dose; needed where there are heights.</summary>
    public ResistResponse? Response { get; init; }

    /// <summary>The base dose, in C/m².</summary>
    public double AreaDoseCoulombsPerSquareMetre { get; init; } = 1;

    /// <summary>
    /// A piece gets at least the charge of this area at dose factor 1: enough for the beam to write it, and to write it in
    /// shape. Figures that come in smaller are left as they are.
    /// </summary>
    public double SmallestPieceSquareNanometres { get; init; }

    /// <summary>How many pieces are allowed.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;

    /// <summary>How layers are written that are not in <see cref="ByLayer"/>.</summary>
    public LayerDose General { get; init; } = LayerDose.Base;

    /// <summary>How single layers are written, by name.</summary>
    public ImmutableDictionary<string, LayerDose> ByLayer { get; init; } = ImmutableDictionary<string, LayerDose>.Empty;
}

/// <summary>What the correction makes equal.</summary>
public enum ProximityTarget
{
    /// <summary>The energy at every outer edge is that at which the resist prints, so that edges print where they are drawn.</summary>
    Edge,

    /// <summary>The energy averaged over every figure is that of a large area whose edges print where they are drawn.</summary>
    Average,
}
