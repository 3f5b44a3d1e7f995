using PatternCompiler.Passes.Relief;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>How one layer is written.</summary>
/// <param name="Layer">Layer name.</param>
/// <param name="DoseFactor">Multiplies the dose of everything on the layer.</param>
/// <param name="Fill">Fill where it differs from the job's.</param>
public sealed record LayerSettings(string Layer, DoseFactor DoseFactor, FillSettings Fill)
{
    /// <summary>Base dose of areas on this layer in C/m², or null for the process's.</summary>
    public double? AreaDoseCoulombsPerSquareMetre { get; init; }

    /// <summary>Base dose of single lines on this layer in C/m, or null for the process's.</summary>
    public double? LineDoseCoulombsPerMetre { get; init; }

    /// <summary>Base charge of dots on this layer in C, or null for the process's.</summary>
    public double? DotChargeCoulombs { get; init; }

    /// <summary>What the numbers of its shapes are if they are heights; null if they are dose factors.</summary>
    public LayerRelief? Relief { get; init; }

    /// <summary>Outward move of the layer's edges, negative for inward, or null for the job's.</summary>
    public double? BiasNanometres { get; init; }
}
