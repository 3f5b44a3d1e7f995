using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fill.Automatic;

/// <summary>
/// Chooses the line pitches and point steps that are left open: for each layer the finest whole numbers of codes at which
/// clock, deflection and link keep up at all doses of its figures and the dose is even, and says what ruled.
/// </summary>
internal static class SpacingPass
{
    /// <summary>The options with every spacing chosen, and the choices in the order of the document's layers.</summary>
    /// <exception cref="CompileException">No spacing meets all limits; the error names those that exclude each other. Or the options name an unknown layer.</exception>
    public static (FillOptions Options, ImmutableArray<SpacingChoice> Choices) Run(
        FiguresDocument input, FillOptions options, DiagnosticSink sink, CancellationToken cancellation)
    {
        options.RequireLayersOf(input.Header);
        var choices = ImmutableArray.CreateBuilder<SpacingChoice>();
        ImmutableDictionary<string, LayerFill> byLayer = options.ByLayer;
        bool isOpen = IsOpen(options.AllLayers) || options.ByLayer.Values.Any(IsOpen);
        ImmutableArray<SpacingCase> cases = isOpen ? SpacingCase.Of(input, options, cancellation) : [];
        foreach (SpacingCase layer in cases.Where(layer => layer.IsOpen))
        {
            SpacingChoice choice = Choose(layer, cases, options);
            choices.Add(choice);
            byLayer = byLayer.SetItem(layer.Layer, layer.Fill with { LinePitch = choice.Chosen.LinePitch, PointStep = choice.Chosen.PointStep });
        }

        // Layers that are alike share a note.
        foreach (IGrouping<string, SpacingChoice> alike in choices.GroupBy(choice => SpacingText.Describe(choice, options.Limits!)))
        {
            sink.Note(FillCodes.ChosenSpacing, $"{SpacingText.Layers([.. alike.Select(choice => choice.Layer)])}: {alike.Key}");
        }

        return (options with { ByLayer = byLayer }, choices.ToImmutable());
    }

    private static bool IsOpen(LayerFill fill) => fill.LinePitch.IsAutomatic || fill.PointStep.IsAutomatic;

    private static SpacingChoice Choose(SpacingCase layer, ImmutableArray<SpacingCase> all, FillOptions options)
    {
        if (options is not { Limits: SpacingLimits limits, Lattice: CodeLattice lattice })
        {
            throw new CompileException(
                FillCodes.NoLattice,
                $"line pitch and point step of layer {layer.Layer} are to be chosen, but no machine says what it allows",
                fix: "name the machine, or give the spacing");
        }

        SpacingOutcome found = layer.Find(limits, lattice);
        return found.Fits ? found.ToChoice() : throw SpacingText.Fault(found, limits, new SpacingRemedy(all, limits, lattice));
    }
}
