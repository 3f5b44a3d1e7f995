using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Passes.Route;

/// <summary>Puts the router of a document's jumps in front of a sink for strokes.</summary>
internal static class RoutedStrokes
{
    /// <summary>A sink that leads jumps around and passes everything on.</summary>
    public static IDocumentSink<StrokesHeader, Stroke> Before(
        IDocumentSink<StrokesHeader, Stroke> output, FiguresDocument input, FillOptions options, RouteOptions route, CancellationToken cancellation) =>
        input.Figures.Count == 0
            ? output
            : new JumpRouter(
                new RouteArea(input, FigureDoses(input, options), route, FieldOf(new DacMapping(route.Scale.Dac, route.Scale.Deflection))),
                route,
                output,
                cancellation);

    private static double[] FigureDoses(FiguresDocument input, FillOptions options)
    {
        double gridMetres = input.Header.GridPicometres * 1e-12;
        LayerDoses[] layers = [.. input.Header.Layers.Select(name => options.DosesOf(options.LayerOf(name)))];
        var doses = new double[input.Figures.Count];
        for (int i = 0; i < doses.Length; i++)
        {
            Figure figure = input.Figures[i];
            LayerDoses layer = layers[figure.Layer];
            double dose = figure.Kind switch
            {
                FigureKind.Trapezoid => layer.AreaCoulombsPerSquareMetre,
                FigureKind.Line => layer.LineCoulombsPerMetre / gridMetres,
                _ => layer.DotCoulombs / (gridMetres * gridMetres),
            };
            doses[i] = dose * layer.Factor * figure.DoseFactor.Value;
        }

        return doses;
    }

    /// <summary>An upright rectangle that the converters reach, a code inside their ends.</summary>
    private static (double Left, double Bottom, double Right, double Top) FieldOf(DacMapping mapping)
    {
        (double left, double right) = (mapping.UsableX.Lowest + 1, mapping.UsableX.Highest - 1);
        (double low, double high) = (mapping.UsableY.Lowest + 1, mapping.UsableY.Highest - 1);
        (double X, double Y)[] corners = [mapping.PlaceOf(left, low), mapping.PlaceOf(right, low), mapping.PlaceOf(right, high), mapping.PlaceOf(left, high)];
        double[] xs = [.. corners.Select(c => c.X).Order()];
        double[] ys = [.. corners.Select(c => c.Y).Order()];
        return (xs[1], ys[1], xs[2], ys[2]);
    }
}
