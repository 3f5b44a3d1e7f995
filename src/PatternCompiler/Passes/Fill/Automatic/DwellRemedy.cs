using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fill.Automatic;

/// <summary>What to change where a figure's points are too short for the controller: found with all layers in view, not from the one point that failed.</summary>
internal static class DwellRemedy
{
    /// <summary>The change in words, or null if the figure is not known, its layer's spacing was chosen already, or nothing helps.</summary>
    /// <param name="fault">The error, with the figure's number.</param>
    /// <param name="figures">The document.</param>
    /// <param name="asked">Fill settings as they were asked for.</param>
    /// <param name="cancellation">Stops the search.</param>
    public static string? For(Diagnostic fault, FiguresDocument figures, FillOptions asked, CancellationToken cancellation)
    {
        if (fault.Place.Item is not { Kind: ItemKind.Figure, Number: >= 0 and var number } || number >= figures.Figures.Count || asked is not { Limits: SpacingLimits limits, Lattice: CodeLattice lattice })
        {
            return null;
        }

        ImmutableArray<SpacingCase> cases = SpacingCase.Of(figures, asked, cancellation);
        string layer = figures.Header.Layers[figures.Figures[(int)number].Layer];
        return cases.FirstOrDefault(each => each.Layer == layer) is { Fill: { LinePitch.IsAutomatic: false, PointStep.IsAutomatic: false } }
            ? SpacingText.FixOfShortDwell(layer, limits.LargestCurrentAmperes, new SpacingRemedy(cases, limits, lattice))
            : null;
    }
}
