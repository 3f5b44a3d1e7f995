using System.Collections.Immutable;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Units;

namespace PatternCompiler.Reports.Html;

/// <summary>What the resist would show: edges and shapes of the part that was simulated.</summary>
internal static class PredictionSection
{
    private const int MostClusters = 10;

    public static void Add(HtmlBuilder html, ReportContent content)
    {
        html.Element("h2", "Predicted resist", ("id", "resist"));
        if (content.Prediction is not { } prediction)
        {
            html.Element("p", "Not predicted: the process does not say how energy spreads in the resist. Add ‘spread’ to the process file.");
            return;
        }

        SampleWindow window = prediction.Window;
        html.Element(
            "p",
            $"Simulated from {(prediction.IsOfStrokes ? "the strokes of all write fields" : "the written records")} in {ReportText.Nanometres(window.Right - window.Left)} × {ReportText.Nanometres(window.Top - window.Bottom)} around {ReportText.Place((window.Left + window.Right) / 2, (window.Bottom + window.Top) / 2)}, "
            + $"with pixels of {ReportText.Nanometres(prediction.PixelNanometres)}: charge falls {(prediction.IsOfStrokes ? "where the strokes ask for it" : "where converters, deflection and blanker put it")}, spreads as the process says, and prints where {content.Process.Response.PrintingRule}, from {ReportText.Of(prediction.LevelCoulombsPerSquareMetre, Dimension.AreaDose)} on. "
            + "‘patternc simulate’ looks at other parts and at all of it.");
        AddEdges(html, prediction.Result);
        AddShapes(html, prediction.Result);
    }

    private static void AddEdges(HtmlBuilder html, SimulationResult result)
    {
        if (result.Edges is not { Samples: > 0 } edges)
        {
            html.Element("p", "There is no edge of an area in this part.");
            return;
        }

        ReportTable.Begin(html, "Printed edges against drawn ones", false, "Edges", "#Value");
        ReportTable.Row(html, "Mean", "#" + ReportText.Signed(edges.MeanNanometres));
        ReportTable.Row(html, "Three standard deviations", "#" + ReportText.Nanometres(edges.ThreeSigmaNanometres, 3));
        ReportTable.Row(html, "Worst", "#" + ReportText.Signed(edges.WorstNanometres));
        ReportTable.Row(html, "Places measured", "#" + ReportText.Count(edges.Samples));
        ReportTable.Row(html, "Places without a printed edge", "#" + ReportText.Count(edges.Lost));
        ReportTable.End(html);
        if (!edges.Worst.IsDefaultOrEmpty)
        {
            html.Element("p", $"The worst edge is at {ReportText.Place(edges.Worst[0].XNanometres, edges.Worst[0].YNanometres)}. Positive values print larger than drawn.");
        }
    }

    private static void AddShapes(HtmlBuilder html, SimulationResult result)
    {
        if (result.Shapes is not { } shapes)
        {
            return;
        }

        if (shapes.IsSound)
        {
            html.Element("p", "Shapes: " + ShapeText.Sound + ".");
            return;
        }

        html.Element("p", $"Shapes: {ShapeText.Counts(shapes)}.", ("class", "doubt-text"));
        html.Open("ul");
        ImmutableArray<ShapeCluster> clusters = shapes.Clusters();
        foreach (ShapeCluster cluster in clusters.Take(MostClusters))
        {
            SampleWindow w = cluster.Window;
            html.Element("li", $"{ShapeText.Count(cluster.Kind, cluster.Count)} ({ShapeText.Meaning(cluster.Kind)}), {ReportText.Nanometres(w.Right - w.Left)} × {ReportText.Nanometres(w.Top - w.Bottom)}, around {ReportText.Place((w.Left + w.Right) / 2, (w.Bottom + w.Top) / 2)}");
        }

        if (clusters.Length > MostClusters)
        {
            html.Element("li", $"and {ReportText.Count(clusters.Length - MostClusters, "more place", "more places")}");
        }

        html.Close();
    }
}
