namespace PatternCompiler.Pictures;

/// <summary>Writes scenes as SVG (the same bytes on every machine) or PNG; neither needs an installed font.</summary>
internal static class SceneRenderer
{
    /// <summary>Writes SVG to a stream, which stays open.</summary>
    public static void RenderSvg(Scene scene, Stream output)
    {
        using var surface = new SvgSurface(output, scene.Frame.Width, scene.Frame.Height, scene.Title, scene.Facts);
        ScenePainter.Paint(scene, surface);
    }

    /// <summary>Writes PNG to a stream, which stays open.</summary>
    /// <param name="scene">The picture.</param>
    /// <param name="output">Takes the bytes.</param>
    /// <param name="density">Dots for each of its pixels along x and y, for displays that are as fine.</param>
    public static void RenderPng(Scene scene, Stream output, int density = 1)
    {
        using var surface = new SkiaSurface(scene.Frame.Width, scene.Frame.Height, density);
        ScenePainter.Paint(scene, surface);
        surface.Encode(output);
    }

    /// <summary>Writes the plot alone as a small PNG, without axes and margins; the stream stays open.</summary>
    /// <param name="scene">The picture.</param>
    /// <param name="output">Takes the bytes.</param>
    /// <param name="density">Dots for each of its pixels along x and y.</param>
    public static void RenderPlotPng(Scene scene, Stream output, int density = 1)
    {
        using var surface = new SkiaSurface(scene.Frame.Width, scene.Frame.Height, density);
        ScenePainter.Paint(scene, surface);
        surface.EncodePart(output, PictureFrame.PlotLeft, scene.Frame.PlotTop, scene.Frame.PlotWidth, scene.Frame.PlotHeight);
    }
}
