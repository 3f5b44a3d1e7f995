using PatternCompiler.BackEnds.Picture.Plots;

namespace PatternCompiler.Cli.Files;

/// <summary>A plot as a picture file: SVG where the name says so, else PNG.</summary>
internal static class PlotFile
{
    public static void Write(string name, Plot plot, CommandContext context)
    {
        bool isSvg = name.EndsWith(".svg", StringComparison.OrdinalIgnoreCase);
        using OutputFile file = context.Outputs.Create(name, !isSvg);
        if (isSvg)
        {
            PlotRenderer.RenderSvg(plot, file.Stream);
        }
        else
        {
            PlotRenderer.RenderPng(plot, file.Stream);
        }

        file.Commit();
    }
}
