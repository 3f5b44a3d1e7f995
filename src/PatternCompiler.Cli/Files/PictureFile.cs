using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;
using PatternCompiler.Prediction.Waveforms;

namespace PatternCompiler.Cli.Files;

/// <summary>A picture as a file: SVG where the name says so, else PNG.</summary>
internal static class PictureFile
{
    /// <summary>True if a name asks for SVG.</summary>
    public static bool IsSvg(string name) => name.EndsWith(".svg", StringComparison.OrdinalIgnoreCase);

    /// <summary>Writes a scene as its name says.</summary>
    public static void Write(string name, Scene scene, CommandContext context) => Write(name, IsSvg(name), scene, context);

    /// <summary>Writes a scene as the caller says.</summary>
    public static void Write(string name, bool isSvg, Scene scene, CommandContext context) =>
        Write(name, isSvg, context, stream => SceneRenderer.RenderSvg(scene, stream), stream => SceneRenderer.RenderPng(scene, stream));

    /// <summary>Writes a plot as its name says.</summary>
    public static void Write(string name, Plot plot, CommandContext context) =>
        Write(name, IsSvg(name), context, stream => PlotRenderer.RenderSvg(plot, stream), stream => PlotRenderer.RenderPng(plot, stream));

    /// <summary>Writes traces as the caller says.</summary>
    public static void Write(string name, bool isSvg, WaveformPicture traces, CommandContext context) =>
        Write(name, isSvg, context, stream => WaveformPainter.RenderSvg(traces, stream), stream => WaveformPainter.RenderPng(traces, stream));

    private static void Write(string name, bool isSvg, CommandContext context, Action<Stream> svg, Action<Stream> png)
    {
        using OutputFile file = context.Outputs.Create(name, isBinary: !isSvg);
        (isSvg ? svg : png)(file.Stream);
        file.Commit();
    }
}
