using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Prediction.Compare;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Comparing;

/// <summary>A comparison for people and for scripts.</summary>
internal static class ComparisonReport
{
    private const int LongestPart = 600;

    /// <summary>A plain table; empty for documents that are the same byte for byte.</summary>
    public static string Text(DocumentComparison comparison)
    {
        var text = new StringBuilder();
        foreach (ItemDifference header in comparison.Headers)
        {
            Line(text, header.Place, $"{header.First} | {header.Second}");
        }

        if (comparison.Items is { AreEqual: false } items)
        {
            Line(text, "items", $"{items.FirstCount} | {items.SecondCount}, {CountText.Of(items.Differing, "place differs", "places differ")}");
            Line(text, items.FirstDifference!.Place, $"{items.FirstDifference.First ?? "(none)"} | {items.FirstDifference.Second ?? "(none)"}");
            Line(text, "in any order", items.AreEqualInAnyOrder
                ? "the same items"
                : $"{items.OnlyInFirst} only in the first, {items.OnlyInSecond} only in the second");
        }

        foreach (LayerComparison layer in comparison.Layers.Where(layer => !layer.IsWithin(0)))
        {
            Line(text, $"layer {layer.Layer}", $"dose {layer.DoseFactor}: area {Area(layer.FirstSquareNanometres)} | {Area(layer.SecondSquareNanometres)}, {Area(layer.DifferentSquareNanometres)} differ");
            Line(text, "", $"edges shifted by up to {Number(layer.EdgeShiftNanometres)} nm, at ({Number(layer.XNanometres / 1000)}, {Number(layer.YNanometres / 1000)}) um"
                + (layer.UnmatchedLines > 0 ? $"; {CountText.Of(layer.UnmatchedLines, "single line or dot has", "single lines and dots have")} no counterpart" : ""));
        }

        if (comparison.Exposure is { } exposure)
        {
            Line(text, "exposure", $"{exposure.FirstTotal.ToString("G6", CultureInfo.InvariantCulture)} {exposure.Unit} | {exposure.SecondTotal.ToString("G6", CultureInfo.InvariantCulture)} {exposure.Unit}");
            Line(text, "moved", $"{Number(exposure.MovedFraction * 100)} % of it would have to be moved; {CountText.Of(exposure.DifferingCount, "cell", "cells")} of {Number(exposure.CellNanometres)} nm {(exposure.DifferingCount == 1 ? "differs" : "differ")}, by up to {Number(exposure.LargestFraction * 100)} % of a mean cell");
            foreach (ExposureCell cell in exposure.Differing.Take(5))
            {
                Line(text, "", $"({Number(cell.XNanometres / 1000)}, {Number(cell.YNanometres / 1000)}) um: {cell.First.ToString("G4", CultureInfo.InvariantCulture)} {exposure.Unit} | {cell.Second.ToString("G4", CultureInfo.InvariantCulture)} {exposure.Unit}");
            }
        }

        return text.ToString();
    }

    private static void Line(StringBuilder text, string name, string value) => text.Append(PrintedText.Of(name, LongestPart).PadRight(18)).Append(' ').Append(PrintedText.Of(value, LongestPart)).Append('\n');

    private static string Area(double squareNanometres) => Number(squareNanometres * 1e-6) + " um2";

    private static string Number(double value) => value.ToString("0.######", CultureInfo.InvariantCulture);
}
