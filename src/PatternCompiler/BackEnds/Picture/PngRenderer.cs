namespace PatternCompiler.BackEnds.Picture;

/// <summary>Draws a scene on a raster canvas and writes it as PNG. Needs no installed font.</summary>
internal static class PngRenderer
{
    /// <summary>Writes the picture to a stream, which stays open.</summary>
    public static void Render(Scene scene, Stream output) => Render(scene, output, 1);

    /// <summary>Writes the picture with several dots for each of its pixels along x and y, for displays that are as fine.</summary>
    public static void Render(Scene scene, Stream output, int density)
    {
        using var surface = new SkiaSurface(scene.Frame.Width, scene.Frame.Height, density);
        ScenePainter.Paint(scene, surface);
        surface.Encode(output);
    }
}
