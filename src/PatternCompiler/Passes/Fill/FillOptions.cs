using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Limits;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Order;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Passes.Fill;

/// <summary>What filling needs to know of the job.</summary>
/// <param name="AreaDoseCoulombsPerSquareMetre">Base dose of areas.</param>
/// <param name="LineDoseCoulombsPerMetre">Base dose of single lines.</param>
/// <param name="DotChargeCoulombs">Base charge of dots.</param>
/// <param name="AllLayers">Settings of every layer that <see cref="ByLayer"/> does not name.</param>
internal sealed record FillOptions(
    double AreaDoseCoulombsPerSquareMetre,
    double LineDoseCoulombsPerMetre,
    double DotChargeCoulombs,
    LayerFill AllLayers)
{
    /// <summary>Digest of the process and dose settings, for the strokes' header.</summary>
    public SettingsDigest Exposure { get; init; }

    /// <summary>Settings of single layers by name.</summary>
    public ImmutableDictionary<string, LayerFill> ByLayer { get; init; } = ImmutableDictionary<string, LayerFill>.Empty;

    /// <summary>Layers that are written first, in this order; the others follow in the document's order.</summary>
    public ImmutableArray<string> LayerOrder { get; init; } = [];

    /// <summary>A layer that is written before all others if the document has it, or null.</summary>
    public string? FirstLayer { get; init; }

    /// <summary>A layer that is written after all others if the document has it, or null.</summary>
    public string? LastLayer { get; init; }

    /// <summary>Where codes stand on the sample; needed for spacings in codes.</summary>
    public CodeLattice? Lattice { get; init; }

    /// <summary>
    /// The field, where it is tilted or distorted so that <see cref="Lattice"/> holds near its centre only; null where the
    /// lattice holds everywhere.
    /// </summary>
    public DacMapping? UnevenField { get; init; }

    /// <summary>Order of the figures within a layer. Rasters have their own.</summary>
    public OrderOptions Order { get; init; } = OrderOptions.AsGiven;

    /// <summary>
    /// Charge that the beam delivers in the controller's shortest dwell, 0 where it does not matter. No point that is
    /// smaller than a regular one gets less: its charge goes to its neighbours.
    /// </summary>
    public double SmallestPointChargeCoulombs { get; init; }

    /// <summary>Charge that the beam delivers at least between two jumps, however early the blanker is told to turn it off.</summary>
    public double SmallestSegmentChargeCoulombs { get; init; }

    /// <summary>How many strokes and points are allowed.</summary>
    public WorkLimits Work { get; init; } = WorkLimits.Usual;

    /// <summary>The machine's trigger input, or null where it has none or no machine is known.</summary>
    public TriggerInput? Trigger { get; init; }

    /// <summary>What hardware and resist allow; needed for spacings that are to be chosen.</summary>
    public SpacingLimits? Limits { get; init; }

    /// <summary>Fails if a layer is named that a document does not have.</summary>
    /// <exception cref="CompileException">One is.</exception>
    public void RequireLayersOf(FiguresHeader header)
    {
        foreach (string name in LayerOrder.Concat(ByLayer.Keys.Order(StringComparer.Ordinal)))
        {
            if (!header.Layers.Contains(name))
            {
                throw new CompileException(
                    FillCodes.UnknownLayer,
                    $"the fill settings name a layer '{name}', but the figures have only {string.Join(", ", header.Layers.Select(l => $"'{l}'"))}",
                    fix: "correct the name");
            }
        }
    }

    /// <summary>Settings of a layer.</summary>
    public LayerFill LayerOf(string name) => ByLayer.GetValueOrDefault(name, AllLayers);

    /// <summary>Doses of a layer: its own, or those of all.</summary>
    public LayerDoses DosesOf(LayerFill layer) => new(
        layer.AreaDoseCoulombsPerSquareMetre ?? AreaDoseCoulombsPerSquareMetre,
        layer.LineDoseCoulombsPerMetre ?? LineDoseCoulombsPerMetre,
        layer.DotChargeCoulombs ?? DotChargeCoulombs,
        layer.DoseFactor.Value);
}

/// <summary>Base doses of a layer, and the layer's factor, which multiplies them.</summary>
/// <param name="AreaCoulombsPerSquareMetre">Of areas.</param>
/// <param name="LineCoulombsPerMetre">Of single lines.</param>
/// <param name="DotCoulombs">Of dots.</param>
/// <param name="Factor">The factor.</param>
internal readonly record struct LayerDoses(double AreaCoulombsPerSquareMetre, double LineCoulombsPerMetre, double DotCoulombs, double Factor);
