using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>
/// Writes a layout as an SVG drawing at true scale, one group a layer with every cell in its place. One user unit is a
/// micrometre; the view box is the drawing's own rectangle, with y turned upward about its middle, so that every coordinate
/// comes back exactly when the drawing is read. Lines and dots have no width: they are drawn with strokes that do not scale.
/// </summary>
internal static class SvgDrawingWriter
{
    // A drawing of a single dot has no size of its own: it is taken for this many grid steps large.
    private const double SmallestDrawing = 1000;
    private const string LineStyle = "stroke-width=\"1\" vector-effect=\"non-scaling-stroke\"";
    private const string DotStyle = "stroke-width=\"3\" stroke-linecap=\"round\" vector-effect=\"non-scaling-stroke\"";

    private static readonly string[] Colours = ["#1b6ca8", "#c1541b", "#3f8f4f", "#8a4fa3", "#a38a1b", "#4f7d8a"];

    /// <summary>Writes a layout; what the format cannot hold is reported. The stream stays open.</summary>
    public static void Write(
        LayoutDocument layout, Stream output, DrawingWriteOptions options, DiagnosticSink sink, CancellationToken cancellation = default)
    {
        FlatLayout flat = FlattenPass.Run(layout, options.Flattening, sink, cancellation);
        var losses = new WriteLosses("SVG");
        var svg = new Utf8Output(output);
        WriteHead(svg, LayoutExtent.Of(layout) ?? default, layout.GridPicometres);
        var identifiers = new NameMap(c => c > ' ', int.MaxValue);
        foreach (IGrouping<int, FlatLayer> layer in flat.Groups.GroupBy(g => g.Layer))
        {
            cancellation.ThrowIfCancellationRequested();
            string name = layout.Layers[layer.Key];
            WriteLayer(svg, name, identifiers.Of(name), Colours[layer.Key % Colours.Length], layer, layout.GridPicometres, losses);
        }

        svg.Text("</g>\n</svg>\n");
        svg.Flush();
        losses.Report(sink);
    }

    // The page, in whole grid steps: the drawing with a margin of a hundredth, so that lines at the border stay in view.
    private static void WriteHead(Utf8Output svg, LayoutExtent extent, long grid)
    {
        double margin = Math.Max(SmallestDrawing, Math.Max(extent.Width, extent.Height)) / 100;
        long left = (long)Math.Floor(extent.XMin - margin);
        long bottom = (long)Math.Floor(extent.YMin - margin);
        long right = (long)Math.Ceiling(extent.XMax + margin);
        long top = (long)Math.Ceiling(extent.YMax + margin);
        svg.Text("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"");
        svg.FixedBare((right - left) * grid, 9);
        svg.Raw("mm\" height=\""u8);
        svg.FixedBare((top - bottom) * grid, 9);
        svg.Raw("mm\" viewBox=\""u8);
        svg.FixedBare(left * grid, 6);
        svg.Fixed(bottom * grid, 6);
        svg.Fixed((right - left) * grid, 6);
        svg.Fixed((top - bottom) * grid, 6);
        svg.Raw("\">\n<g transform=\"matrix(1 0 0 -1 0"u8);
        svg.Fixed((bottom + top) * grid, 6);
        svg.Raw(")\">\n"u8);
    }

    private static void WriteLayer(Utf8Output svg, string name, string identifier, string colour, IEnumerable<FlatLayer> groups, long grid, WriteLosses losses)
    {
        string label = identifier == name ? "" : $" data-layer=\"{Escape(name)}\"";
        svg.Text($"<g id=\"{Escape(identifier)}\"{label} fill=\"{colour}\" fill-rule=\"nonzero\" stroke=\"none\">\n");
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

            if (group.Lines.Length > 0)
            {
                svg.Text("<path d=\"");
                foreach (var line in group.Lines)
                {
                    WritePoints(svg, line.AsSpan(), grid);
                }

                svg.Text($"\" fill=\"none\" stroke=\"{colour}\" {LineStyle}/>\n");
            }

            if (group.Dots.Length > 0)
            {
                svg.Text("<path d=\"");
                foreach (GridPoint dot in group.Dots)
                {
                    WritePoints(svg, [dot], grid);
                    svg.Text("h0");
                }

                svg.Text($"\" fill=\"none\" stroke=\"{colour}\" {DotStyle}/>\n");
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

    // Characters with a meaning in XML are written as entities; XML has no control characters.
    private static string Escape(string name)
    {
        var text = new StringBuilder();
        foreach (char c in name)
        {
            text.Append(c switch { '&' => "&amp;", '<' => "&lt;", '>' => "&gt;", '"' => "&quot;", < ' ' => "_", _ => c.ToString() });
        }

        return text.ToString();
    }
}
