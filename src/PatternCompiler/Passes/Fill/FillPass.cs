using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill.Automatic;
using PatternCompiler.Passes.Route;
using PatternCompiler.Passes.Order;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Fills figures with strokes: areas with lines or a raster, single lines and dots with points. Every stroke carries the
/// charge that it must deliver; what beam and clock make of it is the business of scaling.
/// </summary>
internal static class FillPass
{
    private const long FemtometresPerPicometre = 1000;

    /// <summary>Fills a document layer by layer, within a layer in the order that the options ask for.</summary>
    /// <returns>What was chosen, and the way that the beam travels blanked.</returns>
    /// <exception cref="CompileException">The settings do not fit the document.</exception>
    public static FillReport Run(
        FiguresDocument input,
        FillOptions options,
        IDocumentSink<StrokesHeader, Stroke> output,
        DiagnosticSink sink,
        CancellationToken cancellation)
    {
        RequireKnownLayers(input.Header, options);
        if (options.Route is RouteOptions route)
        {
            output = RoutedStrokes.Before(output, input, options, route, cancellation);
        }

        if (options.Park is (long parkX, long parkY))
        {
            output = new ParkedStrokes(output, parkX, parkY);
        }

        (options, ImmutableArray<SpacingChoice> choices) = SpacingPass.Run(input, options, sink, cancellation);
        int[][] byLayer = SortByLayer(input);
        long grid = input.Header.GridPicometres * FemtometresPerPicometre;
        var tally = new FillTally();
        var writer = new StrokeWriter(output, cancellation);
        var strokes = new FigureStrokes(tally, grid);
        var vector = new VectorFill(
            writer, strokes, options.Order is { Subfields: SubfieldGrid subfields, Order: not WritingOrder.AsGiven } ? new SubfieldStrokes(subfields) : null);
        var sequence = new FigureSequence(options.Order, grid, cancellation);
        output.Begin(new StrokesHeader(input.Header.Layers) { Exposure = options.Exposure });
        foreach (int layer in LayersInOrder(input.Header, options))
        {
            if (byLayer[layer].Length == 0)
            {
                continue;
            }

            string name = input.Header.Layers[layer];
            var plan = new LayerPlan(name, options.ByLayer.GetValueOrDefault(name, options.AllLayers), options);
            int[] numbers = byLayer[layer];
            FillWork.Require(input.Figures, numbers, plan, grid, options.Work.At($"layer '{name}'"));
            bool takesAreasTogether = plan.IsRaster || plan.FollowsContours;
            int[] areas = takesAreasTogether ? Array.FindAll(numbers, i => input.Figures[i].Kind == FigureKind.Trapezoid) : [];
            int[] single = takesAreasTogether ? Array.FindAll(numbers, i => input.Figures[i].Kind != FigureKind.Trapezoid) : numbers;
            List<(int Number, bool Backwards)> ordered = sequence.Arrange(input.Figures, single, name, plan);
            LayerPlan rasterPlan = plan.IsRaster ? UnevenRaster.Follow(plan, name, input.Figures, areas, grid, sink) : plan;
            for (int pass = 0; pass < plan.Passes; pass++)
            {
                writer.BreakOff();
                writer.Shift(plan.ShiftOf(pass));
                if (plan.IsRaster)
                {
                    new RasterScan(writer, tally, grid, rasterPlan, pass).Write(input.Figures, areas);
                }
                else
                {
                    new ContourFill(writer, tally, strokes, grid, plan, pass, options.Work.At($"layer '{name}'"), cancellation).Write(input.Figures, areas);
                }

                foreach ((int number, bool backwards) in ordered)
                {
                    vector.Write(input.Figures[number], number, plan, pass, backwards);
                }
            }
        }

        writer.Flush();
        output.End();
        tally.Report(sink);
        return new FillReport(choices, sequence.Travels);
    }

    private static void RequireKnownLayers(FiguresHeader header, FillOptions options)
    {
        IEnumerable<string> named = options.LayerOrder.Concat(options.ByLayer.Keys.Order(StringComparer.Ordinal));
        foreach (string name in named)
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
