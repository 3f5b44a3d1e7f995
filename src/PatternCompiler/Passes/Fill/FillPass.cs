using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Limits;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Order;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Fills figures with strokes: areas with lines or a raster, single lines and dots with points. Every stroke carries the
/// charge that it must deliver; what beam and clock make of it is the business of scaling.
/// </summary>
internal static class FillPass
{
    private const long FemtometresPerPicometre = 1000;

    /// <summary>
    /// Fills a document layer by layer, within a layer in the order that the options ask for. Strokes are taken on another thread
    /// than this one, which makes the next ones meanwhile.
    /// </summary>
    /// <returns>The way that the beam travels blanked, of the layers whose figures were ordered for it.</returns>
    /// <exception cref="CompileException">The settings do not fit the document, or leave a spacing open.</exception>
    public static ImmutableArray<LayerTravel> Run(
        FiguresDocument input,
        FillOptions options,
        IDocumentSink<StrokesHeader, Stroke> output,
        DiagnosticSink sink,
        CancellationToken cancellation)
    {
        options.RequireLayersOf(input.Header);
        return HandingOn<StrokesHeader, Stroke>.Run(output, next => Fill(input, options, next, sink, cancellation));
    }

    private static ImmutableArray<LayerTravel> Fill(
        FiguresDocument input,
        FillOptions options,
        IDocumentSink<StrokesHeader, Stroke> output,
        DiagnosticSink sink,
        CancellationToken cancellation)
    {
        int[][] byLayer = SortByLayer(input);
        long grid = input.Header.GridPicometres * FemtometresPerPicometre;
        var tally = new FillTally();
        var writer = new StrokeWriter(output, cancellation);
        var strokes = new FigureStrokes(tally, grid);
        var vector = new VectorFill(
            writer, strokes, options.Order is { Subfields: SubfieldGrid subfields, Order: not WritingOrder.AsGiven } ? new SubfieldStrokes(subfields) : null);
        var sequence = new FigureSequence(options.Order, grid, cancellation);
        output.Begin(new StrokesHeader(input.Header.Layers)
        {
            Exposure = options.Exposure,
            WaitsForTrigger = LayersInOrder(input.Header, options).Any(layer => byLayer[layer].Length > 0 && options.LayerOf(input.Header.Layers[layer]).Trigger != TriggerUnit.None),
        });
        foreach (int layer in LayersInOrder(input.Header, options))
        {
            int[] numbers = byLayer[layer];
            if (numbers.Length == 0)
            {
                continue;
            }

            // Nothing is written, and a spacing that was left open was never chosen: no dose asked for one.
            if (Array.TrueForAll(numbers, i => input.Figures[i].DoseFactor.Millionths == 0))
            {
                Array.ForEach(numbers, tally.CountWithoutDose);
                continue;
            }

            string name = input.Header.Layers[layer];
            var plan = LayerPlan.Of(name, options.LayerOf(name), options);
            WorkLimits limits = options.Work.At($"layer '{name}'");
            FillWork.Require(input.Figures, numbers, plan, grid, limits, cancellation);
            Action<int>? together = plan.Fill.Strategy.Begin(new(name, plan, input.Figures, numbers, grid, writer, strokes, tally, limits, sink, cancellation));
            int[] single = together is null ? numbers : Array.FindAll(numbers, i => input.Figures[i].Kind != FigureKind.Trapezoid);
            List<(int Number, bool Backwards)> ordered = sequence.Arrange(input.Figures, single, name, plan);
            for (int pass = 0; pass < plan.Passes; pass++)
            {
                writer.BeginPass(plan.Fill.Trigger, plan.AfterEdgePicoseconds(pass));
                writer.Shift(plan.ShiftOf(pass));
                together?.Invoke(pass);
                foreach ((int number, bool backwards) in ordered)
                {
                    vector.Write(input.Figures[number], number, plan, pass, backwards);
                }
            }
        }

        writer.Flush();
        output.End();
        tally.Report(sink);
        return sequence.Travels;
    }

    private static int[][] SortByLayer(FiguresDocument input)
    {
        var counts = new int[input.Header.Layers.Length];
        for (int i = 0; i < input.Figures.Count; i++)
        {
            counts[input.Figures[i].Layer]++;
        }

        int[][] byLayer = Array.ConvertAll(counts, count => new int[count]);
        Array.Clear(counts);
        for (int i = 0; i < input.Figures.Count; i++)
        {
            int layer = input.Figures[i].Layer;
            byLayer[layer][counts[layer]++] = i;
        }

        return byLayer;
    }

    private static IEnumerable<int> LayersInOrder(FiguresHeader header, FillOptions options)
    {
        int last = options.LastLayer is string name ? header.Layers.IndexOf(name) : -1;
        int[] first = [.. Named(options.FirstLayer).Concat(options.LayerOrder.Select(layer => header.Layers.IndexOf(layer))).Distinct()];
        IEnumerable<int> order = first.Concat(Enumerable.Range(0, header.Layers.Length).Except(first));
        return last < 0 ? order : order.Where(layer => layer != last).Append(last);

        IEnumerable<int> Named(string? layer) => layer is not null && header.Layers.IndexOf(layer) is >= 0 and int index ? [index] : [];
    }
}
