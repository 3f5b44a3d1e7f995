using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Units;

namespace PatternCompiler.Model.Layout.Summary;

/// <summary>Prints a summary as a table for people. Lengths are in micrometres.</summary>
internal static class LayoutSummaryText
{
    private const int LongestName = 60;

    private static readonly string[] Heads =
        ["layer", "rects", "polygons", "circles", "rings", "paths", "lines", "dots", "corners", "dose", "x from", "to", "y from", "to", "narrowest"];

    /// <summary>The table, each line ended by a line feed.</summary>
    /// <param name="summary">The summary.</param>
    /// <param name="messages">Notes and warnings of the reader, which tell what stayed open and what was ignored.</param>
    public static string Print(LayoutSummary summary, IEnumerable<Diagnostic> messages)
    {
        double step = summary.GridPicometres * 1e-6;
        List<string[]> rows = [Heads, .. summary.Layers.Select(layer => Row(layer, step))];
        int[] widths = [.. Enumerable.Range(0, Heads.Length).Select(column => rows.Max(row => row[column].Length))];
        var text = new StringBuilder();
        string size = summary.Extent is LayoutExtent e ? $"{(summary.IsExtentUpperBound ? "at most " : "")}{Number(e.Width * step)} x {Number(e.Height * step)} um" : "empty";
        text.Append(CultureInfo.InvariantCulture, $"drawing {LayoutWriter.Quote(summary.Drawing)}: {size}, grid {LengthText.Nanometres(summary.GridPicometres)}, ")
            .Append(CultureInfo.InvariantCulture, $"{CountText.Of(summary.Cells, "cell", "cells")}, {CountText.Of(summary.Layers.Length, "layer", "layers")}\n\n");
        foreach (string[] row in rows)
        {
            var line = new StringBuilder(row[0].PadRight(widths[0]));
            for (int column = 1; column < row.Length; column++)
            {
                line.Append("  ").Append(row[column].PadLeft(widths[column]));
            }

            text.Append(line.ToString().TrimEnd()).Append('\n');
        }

        LeftOut left = LeftOut.Of(messages);
        if (left != default)
        {
            text.Append(CultureInfo.InvariantCulture, $"\nopen outlines: {left.OpenOutlines}, ignored objects: {left.IgnoredObjects}\n");
        }

        if (summary.IsExtentUpperBound)
        {
            text.Append("\nsizes and places are upper bounds: cells are turned by other than quarter turns\n");
        }

        return text.ToString();
    }

    private static string[] Row(LayerSummary layer, double step)
    {
        string dose = layer.LowestDose == layer.HighestDose ? Number(layer.LowestDose) : $"{Number(layer.LowestDose)}-{Number(layer.HighestDose)}";
        string narrowest = layer.SmallestFeatureNanometres is double size ? Number(size / 1000) : "-";
        string[] extent = layer.Extent is LayoutExtent e
            ? [Number(e.XMin * step), Number(e.XMax * step), Number(e.YMin * step), Number(e.YMax * step)]
            : ["-", "-", "-", "-"];
        return
        [
            PrintedText.Of(layer.Name, LongestName), Count(layer.Rectangles), Count(layer.Polygons), Count(layer.Circles), Count(layer.Rings), Count(layer.Paths),
            Count(layer.Lines), Count(layer.Dots), Count(layer.Corners), dose, .. extent,
            layer.UnmeasuredPolygons > 0 ? narrowest + "?" : narrowest,
        ];
    }

    private static string Count(double value) => value.ToString("0", CultureInfo.InvariantCulture);

    private static string Number(double value) => value.ToString("0.####", CultureInfo.InvariantCulture);
}
