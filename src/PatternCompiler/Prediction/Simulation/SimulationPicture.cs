using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction.Shapes;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Pictures a simulation: energy as tint, drawn and printed outlines, what hangs together otherwise than drawn, the worst edge.</summary>
internal static class SimulationPicture
{
    private const int EnergyHue = 2;
    private const int DrawnHue = 3;
    private const int PrintedHue = 1;
    private const double FaultFramePixels = 6;

    /// <summary>Composes the picture: energy behind the outlines.</summary>
    /// <param name="result">The simulation; its energy map is drawn if there is one.</param>
    /// <param name="layout">Outlines of the layout on the result's grid, or null.</param>
    /// <param name="levelCoulombsPerSquareMetre">Energy at which the resist develops; twice that has the strongest tint.</param>
    /// <param name="options">Size, window and title.</param>
    public static Scene Compose(
        SimulationResult result, ContourSet? layout, double levelCoulombsPerSquareMetre, PictureOptions options) =>
        Compose(
            result,
            layout,
            result.Map,
            2 * levelCoulombsPerSquareMetre,
            new TintScale("energy, as dose", "0", $"{FactText.Round(200 * levelCoulombsPerSquareMetre, 3)} µC/cm²", EnergyHue),
            FactText.Join(options.Title, "simulation"),
            options);

    /// <summary>Composes a picture of the resist after development: what remains of its thickness behind the outlines.</summary>
    /// <param name="result">The simulation with its map of the thickness.</param>
    /// <param name="layout">Outlines of the layout on the result's grid, or null.</param>
    /// <param name="filmNanometres">Thickness of the film before exposure; null if unknown.</param>
    /// <param name="options">Size, window and title.</param>
    public static Scene ComposeThickness(SimulationResult result, ContourSet? layout, double? filmNanometres, PictureOptions options) =>
        Compose(
            result,
            layout,
            result.Thickness,
            1,
            new TintScale("remaining thickness", filmNanometres is null ? "0 %" : "0 nm", filmNanometres is double film ? FactText.Length(film) : "100 %", EnergyHue),
            FactText.Join(options.Title, "resist after development"),
            options);

    private static Scene Compose(
        SimulationResult result, ContourSet? layout, SampleMap? map, double full, TintScale tints, string title, PictureOptions options)
    {
        double scale = result.GridPicometres * 1e-3;
        PictureFrame frame = PictureFrame.Choose(ExtentOf(result, layout, scale), options);
        var batches = ImmutableArray.CreateBuilder<SceneBatch>();
        var legend = ImmutableArray.CreateBuilder<LegendEntry>();
        AddOutlines(layout, DrawnHue, "drawn");
        AddOutlines(result.Printed, PrintedHue, "printed");
        AddFaults(result, frame, batches, legend);
        AddWorst(result, frame, batches, legend);
        return new Scene(
            frame,
            title,
            Facts(result),
            [],
            legend.ToImmutable(),
            map is null ? null : tints,
            null,
            map is null ? [] : [Tinted(map, frame, full)],
            batches.ToImmutable());

        void AddOutlines(ContourSet? outlines, int hue, string name)
        {
            if (outlines is null)
            {
                return;
            }

            var path = new ScenePathBuilder();
            for (int i = 0; i < outlines.Count; i++)
            {
                foreach (GridPoint point in outlines[i])
                {
                    path.Add(point.X * scale, point.Y * scale);
                }

                path.Add(outlines[i][0].X * scale, outlines[i][0].Y * scale);
                path.EndPart();
            }

            batches.Add(new SceneBatch(SceneRole.Line, hue, Palette.TintCount, path.ToPath()));
            legend.Add(new LegendEntry(SceneRole.Line, hue, name));
        }
    }

    // Around every fault a frame, wide enough to be seen where the fault itself is not.
    private static void AddFaults(
        SimulationResult result, PictureFrame frame, ImmutableArray<SceneBatch>.Builder batches, ImmutableArray<LegendEntry>.Builder legend)
    {
        if (result.Shapes is not { IsSound: false } shapes)
        {
            return;
        }

        var path = new ScenePathBuilder();
        foreach (ShapeFault fault in shapes.Faults)
        {
            SampleWindow w = fault.Window.Widened(FaultFramePixels * frame.NanometresPerPixel);
            path.AddSegment(w.Left, w.Bottom, w.Right, w.Bottom);
            path.AddSegment(w.Right, w.Bottom, w.Right, w.Top);
            path.AddSegment(w.Right, w.Top, w.Left, w.Top);
            path.AddSegment(w.Left, w.Top, w.Left, w.Bottom);
        }

        batches.Add(new SceneBatch(SceneRole.Alarm, 0, Palette.TintCount, path.ToPath()));
        legend.Add(new LegendEntry(SceneRole.Alarm, 0, ShapeText.Counts(shapes)));
    }

    private static void AddWorst(
        SimulationResult result, PictureFrame frame, ImmutableArray<SceneBatch>.Builder batches, ImmutableArray<LegendEntry>.Builder legend)
    {
        if (result.Edges is not { Worst.IsEmpty: false } edges
            || !frame.View.Meets(edges.Worst[0].XNanometres, edges.Worst[0].YNanometres, edges.Worst[0].XNanometres, edges.Worst[0].YNanometres))
        {
            return;
        }

        var path = new ScenePathBuilder();
        path.AddDot(edges.Worst[0].XNanometres, edges.Worst[0].YNanometres);
        batches.Add(new SceneBatch(SceneRole.Start, 0, Palette.TintCount, path.ToPath()));
        legend.Add(new LegendEntry(SceneRole.Start, 0, $"worst edge {FactText.Length(edges.WorstNanometres)}"));
    }

    private static string Facts(SimulationResult result) => result.Edges is not { } edges
        ? FactText.Count(result.Printed.Count, "printed outline", "printed outlines")
        : FactText.Join(
            $"edges off by {FactText.Length(edges.MeanNanometres)} on average",
            $"3σ {FactText.Length(edges.ThreeSigmaNanometres)}",
            $"worst {FactText.Length(edges.WorstNanometres)}",
            edges.Lost > 0 ? $"{FactText.Grouped(edges.Lost)} of {FactText.Count(edges.Samples, "place", "places")} without a printed edge" : FactText.Count(edges.Samples, "place", "places"),
            result.Shapes is { IsSound: false } shapes ? ShapeText.Counts(shapes) : "shapes sound");

    private static SceneExtent ExtentOf(SimulationResult result, ContourSet? layout, double scale)
    {
        SceneExtent extent = SceneExtent.Empty;
        if (result.HeightsExtent is { } heights)
        {
            extent = extent.With(heights.Left, heights.Bottom).With(heights.Right, heights.Top);
        }

        foreach (ContourSet set in layout is null ? [result.Printed] : new[] { result.Printed, layout })
        {
            foreach (GridPoint point in set.Points)
            {
                extent = extent.With(point.X * scale, point.Y * scale);
            }
        }

        return extent;
    }

    /// <summary>Mean energy of each pixel of the plot, or the nearest cell's where cells are larger.</summary>
    private static SceneMap Tinted(SampleMap map, PictureFrame frame, double full)
    {
        var tints = new byte[frame.PlotWidth * frame.PlotHeight];
        double pixel = frame.NanometresPerPixel;
        for (int row = 0; row < frame.PlotHeight; row++)
        {
            double top = (frame.View.Top - row * pixel - map.Bottom) / map.StepNanometres;
            (int firstRow, int lastRow) = Cells(top - pixel / map.StepNanometres, top, map.Rows);
            for (int column = 0; column < frame.PlotWidth; column++)
            {
                double left = (frame.View.Left + column * pixel - map.Left) / map.StepNanometres;
                (int firstColumn, int lastColumn) = Cells(left, left + pixel / map.StepNanometres, map.Columns);
                double sum = 0;
                for (int r = firstRow; r <= lastRow; r++)
                {
                    for (int c = firstColumn; c <= lastColumn; c++)
                    {
                        sum += map.Values.Span[r * map.Columns + c];
                    }
                }

                int cells = Math.Max(0, lastRow - firstRow + 1) * Math.Max(0, lastColumn - firstColumn + 1);
                double part = cells > 0 ? sum / cells / full : 0;
                tints[row * frame.PlotWidth + column] = part < 0.02
                    ? (byte)0
                    : (byte)Math.Clamp(Math.Round(part * Palette.TintCount), 1, Palette.TintCount);
            }
        }

        return new SceneMap(frame.PlotWidth, frame.PlotHeight, EnergyHue, tints);
    }

    private static (int First, int Last) Cells(double from, double to, int count)
    {
        int first = (int)Math.Floor(from);
        int last = Math.Max(first, (int)Math.Ceiling(to) - 1);
        return (Math.Max(0, first), Math.Min(count - 1, last));
    }
}
