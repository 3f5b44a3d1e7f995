namespace PatternCompiler.BackEnds.Picture;

/// <summary>Writes a scene as SVG. The same scene gives the same bytes on every machine.</summary>
internal static class SvgRenderer
{
    /// <summary>Writes the picture to a stream, which stays open.</summary>
    public static void Render(Scene scene, Stream output)
    {
        using var surface = new SvgSurface(output, scene.Frame.Width, scene.Frame.Height, scene.Title, scene.Facts);
        ScenePainter.Paint(scene, surface);
    }
}
