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
    /// <exception cref="CompileException">No spacing meets all limits; the error names those that exclude each other.</exception>
    public static (FillOptions Options, ImmutableArray<SpacingChoice> Choices) Run(
        FiguresDocument input, FillOptions options, DiagnosticSink sink, CancellationToken cancellation)
    {
        var choices = ImmutableArray.CreateBuilder<SpacingChoice>();
        ImmutableDictionary<string, LayerFill> byLayer = options.ByLayer;
        bool isOpen = IsOpen(options.AllLayers) || options.ByLayer.Values.Any(IsOpen);
        LayerDemand[] demands = isOpen ? Collect(input, options, cancellation) : [];
        for (int layer = 0; layer < demands.Length; layer++)
        {
            string name = input.Header.Layers[layer];
            LayerFill fill = FillOf(options, name);
            if (IsOpen(fill) && demands[layer].HighestFactor > 0)
            {
                SpacingChoice choice = Choose(name, fill, options, demands[layer]);
                choices.Add(choice);
                byLayer = byLayer.SetItem(name, fill with { LinePitch = choice.Chosen.LinePitch, PointStep = choice.Chosen.PointStep });
            }
        }

        // Layers that are alike share a note.
        foreach (IGrouping<string, SpacingChoice> alike in choices.GroupBy(choice => SpacingText.Describe(choice, options.Limits!)))
        {
            sink.Note(FillCodes.ChosenSpacing, $"{SpacingText.Layers([.. alike.Select(choice => choice.Layer)])}: {alike.Key}");
        }

        return (options with { ByLayer = byLayer }, choices.ToImmutable());
    }

    private static bool IsOpen(LayerFill fill) => fill.LinePitch.IsAutomatic || fill.PointStep.IsAutomatic;

    private static LayerFill FillOf(FillOptions options, string layer) => options.ByLayer.GetValueOrDefault(layer, options.AllLayers);

    private static LayerDemand[] Collect(FiguresDocument input, FillOptions options, CancellationToken cancellation)
    {
        const long FemtometresPerPicometre = 1000;
        FillDirection[] directions = [.. input.Header.Layers.Select(name => FillOf(options, name).Direction)];
        LayerDemand[] demands = Array.ConvertAll(directions, _ => new LayerDemand());
        for (int i = 0; i < input.Figures.Count; i++)
        {
            if ((i & 0xFFFF) == 0)
            {
                cancellation.ThrowIfCancellationRequested();
            }

            Figure figure = input.Figures[i];
            demands[figure.Layer].Add(figure, input.Header.GridPicometres * FemtometresPerPicometre, directions[figure.Layer]);
        }

        return demands;
    }

    private static SpacingChoice Choose(string layer, LayerFill fill, FillOptions options, LayerDemand demand)
    {
        if (options is not { Limits: SpacingLimits limits, Lattice: CodeLattice lattice })
        {
            throw new CompileException(
                FillCodes.NoLattice,
                $"line pitch and point step of layer {layer} are to be chosen, but no machine says what it allows",
                fix: "name the machine, or give the spacing");
        }

        LayerDoses doses = LayerDoses.Of(fill, options);
        var trial = new SpacingTrial(limits, lattice, fill, demand, doses, hasReserve: true);
        var search = new SpacingSearch(trial, fill, demand.HasAreas);
        bool hasReserve = search.Find() is { Breaks: SpacingRule.None };
        if (!hasReserve)
        {
            // Better a spacing at the very limit than none.
            trial = new SpacingTrial(limits, lattice, fill, demand, doses, hasReserve: false);
            search = new SpacingSearch(trial, fill, demand.HasAreas);
        }

        SpacingEffect chosen = search.Find() ?? throw SpacingText.Fault(layer, search.Widest(), trial, limits);
        if (chosen.Breaks != SpacingRule.None)
        {
            throw SpacingText.Fault(layer, chosen, trial, limits);
        }

        return new SpacingChoice(
            layer,
            chosen,
            demand.HasAreas ? search.RuleOf(chosen, pitch: 1, step: 0) : SpacingRule.None,
            search.RuleOf(chosen, pitch: 0, step: 1),
            search.Finer(chosen),
            search.Coarser(chosen),
            demand.LowestFactor,
            demand.HighestFactor,
            hasReserve);
    }
}
