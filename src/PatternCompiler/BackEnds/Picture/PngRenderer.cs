namespace PatternCompiler.BackEnds.Picture;

/// <summary>Draws a scene on a raster canvas and writes it as PNG. Needs no installed font.</summary>
public static class PngRenderer
{
    /// <summary>Writes the picture to a stream, which stays open.</summary>
    public static void Render(Scene scene, Stream output)
    {
        using var surface = new SkiaSurface(scene.Frame.Width, scene.Frame.Height);
        ScenePainter.Paint(scene, surface);
        surface.Encode(output);
    }
}
