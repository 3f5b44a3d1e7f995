namespace PatternCompiler.Pictures.Plots;

/// <summary>Writes plots as SVG (the same bytes on every machine) or PNG.</summary>
internal static class PlotRenderer
{
    internal const int Width = 960;
    internal const int Height = 640;
    internal const int PlotLeft = 84;
    internal const int PlotTop = 62;
    internal const int PlotRight = 716;
    internal const int PlotBottom = 576;

    /// <summary>Width of the frame between the axes over its height.</summary>
    public const double Shape = (double)(PlotRight - PlotLeft) / (PlotBottom - PlotTop);

    /// <summary>Writes SVG to a stream, which stays open.</summary>
    public static void RenderSvg(Plot plot, Stream output)
    {
        using var surface = new SvgSurface(output, Width, Height, plot.Title, plot.Facts);
        new PlotPainter(plot, surface).Paint();
    }

    /// <summary>Writes PNG to a stream, which stays open.</summary>
    public static void RenderPng(Plot plot, Stream output)
    {
        using var surface = new SkiaSurface(Width, Height);
        new PlotPainter(plot, surface).Paint();
        surface.Encode(output);
    }
}
