using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>
/// Writes a layout as an SVG drawing at true scale, one group a layer with every cell in its place. One user unit is a
/// micrometre, y points up inside the drawing by a transform. Lines and dots have no width: lines are drawn a thousandth of the
/// drawing wide, dots three thousandths.
/// </summary>
public static class SvgDrawingWriter
{
    // A drawing of a single dot has no size of its own: it is taken for this many grid steps large.
    private const double SmallestDrawing = 1000;

    private static readonly string[] Colours = ["#1b6ca8", "#c1541b", "#3f8f4f", "#8a4fa3", "#a38a1b", "#4f7d8a"];

    /// <summary>Writes a layout; what the format cannot hold is reported. The stream stays open.</summary>
    public static void Write(
        LayoutDocument layout, Stream output, DrawingWriteOptions options, DiagnosticSink sink, CancellationToken cancellation = default)
    {
        FlatLayout flat = FlattenPass.Run(
            layout, new FlattenOptions { ChordErrorNanometres = options.ChordErrorNanometres }, sink, cancellation);
        LayoutExtent extent = LayoutExtent.Of(layout) ?? default;
        var losses = new WriteLosses("SVG");
        var svg = new Utf8Output(output);
        string lineWidth = Length(Math.Max(SmallestDrawing, Math.Max(extent.Width, extent.Height)) / 1000, layout.GridPicometres);
        string dotWidth = Length(Math.Max(SmallestDrawing, Math.Max(extent.Width, extent.Height)) * 3 / 1000, layout.GridPicometres);
        WriteHead(svg, extent, layout.GridPicometres);
        foreach (IGrouping<int, FlatLayer> layer in flat.Groups.GroupBy(g => g.Layer))
        {
            cancellation.ThrowIfCancellationRequested();
            WriteLayer(svg, layout.Layers[layer.Key], Colours[layer.Key % Colours.Length], layer, layout.GridPicometres, lineWidth, dotWidth, losses);
        }

        svg.Text("</g>\n</svg>\n");
        svg.Flush();
        losses.Report(sink);
    }

    private static void WriteHead(Utf8Output svg, LayoutExtent extent, long grid)
    {
        // A margin of a hundredth, so that lines at the border stay in view.
        double margin = Math.Max(SmallestDrawing, Math.Max(extent.Width, extent.Height)) / 100;
        string x = Length(extent.XMin - margin, grid);
        string y = Length(-extent.YMax - margin, grid);
        string width = Length(extent.Width + (2 * margin), grid);
        string height = Length(extent.Height + (2 * margin), grid);
        svg.Text("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
        svg.Text($"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{Millimetres(extent.Width + (2 * margin), grid)}mm\" height=\"{Millimetres(extent.Height + (2 * margin), grid)}mm\" viewBox=\"{x} {y} {width} {height}\">\n");
        svg.Text("<g transform=\"scale(1 -1)\">\n");
    }

    private static void WriteLayer(Utf8Output svg, string name, string colour, IEnumerable<FlatLayer> groups, long grid, string lineWidth, string dotWidth, WriteLosses losses)
    {
        svg.Text($"<g id=\"{Escape(name)}\" fill=\"{colour}\" fill-rule=\"nonzero\" stroke=\"none\">\n");
        foreach (FlatLayer group in groups)
        {
            losses.Dose(group.DoseFactor);
            if (group.Area.Count > 0)
            {
                svg.Text("<path d=\"");
                for (int i = 0; i < group.Area.Count; i++)
                {
                    WritePoints(svg, group.Area[i], grid);
                    svg.Text("z");
                }

                svg.Text("\"/>\n");
            }

            foreach (var line in group.Lines)
            {
                svg.Text("<path d=\"");
                WritePoints(svg, line.AsSpan(), grid);
                svg.Text($"\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{lineWidth}\"/>\n");
            }

            foreach (GridPoint dot in group.Dots)
            {
                svg.Text("<path d=\"");
                WritePoints(svg, [dot], grid);
                svg.Text($"h0\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{dotWidth}\" stroke-linecap=\"round\"/>\n");
            }
        }

        svg.Text("</g>\n");
    }

    private static void WritePoints(Utf8Output svg, ReadOnlySpan<GridPoint> points, long grid)
    {
        for (int i = 0; i < points.Length; i++)
        {
            svg.Raw(i == 0 ? "M"u8 : "L"u8);
            svg.FixedBare(points[i].X * grid, 6);
            svg.Raw(" "u8);
            svg.FixedBare(points[i].Y * grid, 6);
        }
    }

    private static string Length(double steps, long grid) =>
        ((decimal)steps * grid / 1_000_000m).ToString("0.######", CultureInfo.InvariantCulture);

    private static string Millimetres(double steps, long grid) =>
        ((decimal)steps * grid / 1_000_000_000m).ToString("0.#########", CultureInfo.InvariantCulture);

    // Layer names become identifiers; characters with a meaning in XML are written as entities, blanks and control characters as underscores.
    private static string Escape(string name)
    {
        var text = new StringBuilder();
        foreach (char c in name)
        {
            text.Append(c switch { '&' => "&amp;", '<' => "&lt;", '>' => "&gt;", '"' => "&quot;", <= ' ' => "_", _ => c.ToString() });
        }

        return text.ToString();
    }
}
