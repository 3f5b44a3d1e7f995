using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatternCompiler.Instrument;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Prediction.Stray;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Simulating;

/// <summary>A simulation for people.</summary>
internal static class SimulationReport
{
    private const int MostClusters = 20;
    private const int MostHeights = 20;

    /// <summary>A plain table.</summary>
    public static string Text(SimulationFindings findings)
    {
        SimulationResult simulated = findings.Simulated;
        var text = new StringBuilder();
        Line(text, "charge deposited", QuantityText.Format(simulated.ChargeCoulombs, Dimension.Charge));
        Line(text, "printed outlines", $"{simulated.Printed.Count}, inside which the resist {(findings.Response.Tone == ResistTone.Positive ? "dissolves" : "stays")}");
        Line(text, "printed at", $"{QuantityText.Format(findings.LevelCoulombsPerSquareMetre, Dimension.AreaDose)}, {Rule(findings)}");
        if (simulated.Shapes is { } shapes)
        {
            AddShapes(text, shapes);
        }

        foreach (NetVerdict net in findings.Nets)
        {
            Line(text, "net", NetText(net));
        }

        if (!findings.Seams.IsEmpty)
        {
            string name = "seams";
            foreach (string line in SeamReport.Lines(findings))
            {
                Line(text, name, line);
                name = "";
            }
        }

        if (simulated.Edges is { } edges)
        {
            Line(text, "edges measured", $"{edges.Samples} places, {edges.Lost} of them without a printed edge in reach");
            Line(text, "edge error", $"{Signed(edges.MeanNanometres)} mean, {Nanometres(edges.ThreeSigmaNanometres)} 3 sigma, {Signed(edges.WorstNanometres)} at worst");
            foreach (EdgeError error in edges.Worst)
            {
                Line(text, "", $"{Signed(error.Nanometres)} at ({Micrometres(error.XNanometres)}, {Micrometres(error.YNanometres)}) um");
            }
        }

        if (findings.Hum is { } hum)
        {
            AddHum(text, hum);
        }

        AddHeights(text, findings);
        AddExposure(text, findings.Exposure);
        if (findings.Cells is { } cells)
        {
            Line(text, "cells of arrays", $"{cells.Rows} rows of {cells.Columns}, {Nanometres(cells.StepNanometres)} each; the first has its lower left corner at ({Micrometres(cells.Left)}, {Micrometres(cells.Bottom)}) um");
        }

        if (findings.Window is { } window)
        {
            AddWindow(text, window);
        }

        return text.ToString();
    }

    private static void AddHum(StringBuilder text, HumEffect hum)
    {
        HumShift shift = hum.Shift;
        Line(text, "hum", $"of {QuantityText.Format(hum.Hum.Hertz, Dimension.Frequency)}, at {QuantityText.Format(hum.StartDegrees, Dimension.Angle)} when writing starts, moves the beam by {Nanometres(shift.MostNanometres)} at most");
        Line(text, "", $"all together by {Signed(shift.MeanXNanometres)} along x and {Signed(shift.MeanYNanometres)} along y, about that by {Nanometres(shift.DeviationXNanometres)} and {Nanometres(shift.DeviationYNanometres)} (standard deviations)");
        if (hum.Still is { } still)
        {
            Line(text, "", $"edges by {Nanometres(hum.RootMeanSquareNanometres)} rms, {Signed(hum.Worst.Nanometres)} at worst, at ({Micrometres(hum.Worst.XNanometres)}, {Micrometres(hum.Worst.YNanometres)}) um");
            Line(text, "without hum", $"edge error {Signed(still.MeanNanometres)} mean, {Nanometres(still.ThreeSigmaNanometres)} 3 sigma, {Signed(still.WorstNanometres)} at worst");
        }
    }

    private static string Rule(SimulationFindings findings) =>
        findings.LevelCoulombsPerSquareMetre == findings.Response.PrintingCoulombsPerSquareMetre ? "where " + findings.Response.PrintingRule : "as --level asks";

    /// <summary>One net in words.</summary>
    public static string NetText(NetVerdict net)
    {
        if (net.IsSound)
        {
            return $"'{net.Name}' holds together and stands apart";
        }

        List<string> faults = [];
        if (net.Parts > 1)
        {
            faults.Add($"prints in {net.Parts} parts");
        }

        if (net.BarePoints > 0)
        {
            faults.Add($"has {net.BarePoints} {(net.BarePoints == 1 ? "point" : "points")} where nothing prints");
        }

        if (!net.JoinedWith.IsEmpty)
        {
            faults.Add($"prints in one with {string.Join(", ", net.JoinedWith.Select(name => $"'{name}'"))}");
        }

        return $"'{net.Name}' {string.Join(", ", faults)}";
    }

    private static void AddShapes(StringBuilder text, ShapeReport shapes)
    {
        Line(text, "shapes", shapes.IsSound ? ShapeText.Sound : ShapeText.Counts(shapes));
        if (shapes.Rest is { } rest)
        {
            Line(text, "", $"where the beam rests, {Nanometres(rest.Right - rest.Left)} by {Nanometres(rest.Top - rest.Bottom)} print, which is no fault without a blanker");
        }

        ImmutableArray<ShapeCluster> clusters = shapes.Clusters();
        foreach (ShapeCluster cluster in clusters.Take(MostClusters))
        {
            SampleWindow w = cluster.Window;
            Line(text, "", $"{ShapeText.Count(cluster.Kind, cluster.Count)} around ({Micrometres((w.Left + w.Right) / 2)}, {Micrometres((w.Bottom + w.Top) / 2)}) um, {Nanometres(w.Right - w.Left)} by {Nanometres(w.Top - w.Bottom)}: {ShapeText.Meaning(cluster.Kind)}");
        }

        if (clusters.Length > MostClusters)
        {
            Line(text, "", $"and {clusters.Length - MostClusters} more {(clusters.Length == MostClusters + 1 ? "place" : "places")}");
        }
    }

    private static void AddHeights(StringBuilder text, SimulationFindings findings)
    {
        ImmutableArray<HeightReport> heights = findings.Simulated.Heights;
        if (heights.IsEmpty)
        {
            return;
        }

        double? film = findings.Response.ThicknessNanometres;
        string Part(double part) => part.ToString("0.000", CultureInfo.InvariantCulture);
        string Error(double part) => part.ToString("+0.000;-0.000;0.000", CultureInfo.InvariantCulture) + (film is double whole ? $" ({Signed(part * whole)})" : "");
        double squares = heights.Sum(height => height.RootMeanSquareError * height.RootMeanSquareError * height.Places) / heights.Sum(height => height.Places);
        Line(text, "heights", $"{heights.Length} wanted, off by {Part(Math.Sqrt(squares))} of the film (root mean square), {Error(heights.MaxBy(height => Math.Abs(height.WorstError))!.WorstError)} at worst");
        foreach (HeightReport height in heights.Take(MostHeights))
        {
            Line(text, "", $"{Part(height.Wanted)} wanted, {Part(height.Mean)} on average, {Error(height.WorstError)} at worst, at ({Micrometres(height.WorstXNanometres)}, {Micrometres(height.WorstYNanometres)}) um{(height.IsNarrow ? ", borders included" : "")}");
        }

        if (heights.Length > MostHeights)
        {
            Line(text, "", $"and {heights.Length - MostHeights} more {(heights.Length == MostHeights + 1 ? "height" : "heights")}");
        }
    }

    private static void AddExposure(StringBuilder text, ExposureEstimate exposure)
    {
        if (exposure.Strays is { Printing: > 0 } strays)
        {
            Line(text, "stray lines", $"{strays.Printing} of {strays.Jumps} jumps print");
            foreach (string line in StrayText.ListOf(strays))
            {
                Line(text, "", line);
            }
        }

        double step = Math.Max(exposure.StepXNanometres, exposure.StepYNanometres);
        Line(text, "stepping", $"codes of {Nanometres(step)} move an edge by up to {Nanometres(step / 2)}, under a beam of {Nanometres(exposure.BlurNanometres)} in the resist");
        Line(text, "dose ripple", $"{Percent(exposure.SpacingX.Ripple)} along x, {Percent(exposure.SpacingY.Ripple)} along y, of points up to {Nanometres(exposure.SpacingX.LargestNanometres)} and {Nanometres(exposure.SpacingY.LargestNanometres)} apart");
    }

    private static void AddWindow(StringBuilder text, ProcessWindowReport window)
    {
        string limit = Nanometres(window.LimitNanometres);
        double best = window.BestBiasNanometres();
        Line(text, "process window", window.RangeAt(0) is (double low, double high)
            ? $"edges within {limit} for dose factors {Factor(low)} to {Factor(high)}: exposure latitude {Percent(window.LatitudeAt(0))}"
            : $"no dose factor from {Factor(window.Steps[0].DoseFactor)} to {Factor(window.Steps[^1].DoseFactor)} keeps edges within {limit}");
        if (window.RangeAt(best) is (double lowest, double highest))
        {
            Line(text, "", $"with all edges moved by {Signed(best)}: {Factor(lowest)} to {Factor(highest)}, exposure latitude {Percent(window.LatitudeAt(best))}");
        }
    }

    private static void Line(StringBuilder text, string name, string value) => text.Append(name.PadRight(20)).Append(value).Append('\n');

    private static string Nanometres(double value) => value.ToString("0.##", CultureInfo.InvariantCulture) + " nm";

    private static string Percent(double part) => (part * 100).ToString("0.##", CultureInfo.InvariantCulture) + " %";

    private static string Factor(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);

    private static string Signed(double value) => value.ToString("+0.##;-0.##;0", CultureInfo.InvariantCulture) + " nm";

    private static string Micrometres(double nanometres) => (nanometres / 1000).ToString("0.###", CultureInfo.InvariantCulture);
}
