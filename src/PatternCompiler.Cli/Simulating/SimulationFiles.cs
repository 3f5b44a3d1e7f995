using PatternCompiler.Cli.Files;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Simulating;

/// <summary>Writes what a simulation shows; a name of null writes nothing.</summary>
/// <param name="simulated">The simulation.</param>
/// <param name="drawn">Outlines of the layout that it is measured against, or null.</param>
/// <param name="options">Title and window of the pictures.</param>
/// <param name="context">Where files go.</param>
internal sealed class SimulationFiles(SimulationResult simulated, ContourSet? drawn, PictureOptions options, CommandContext context)
{
    private const string ArrayEnding = ".npy";

    /// <summary>True if a name asks for an array file and not for a picture.</summary>
    public static bool IsArray(string? name) => name is not null && name.EndsWith(ArrayEnding, StringComparison.OrdinalIgnoreCase);

    /// <summary>Printed outlines as a layout.</summary>
    public void WriteContours(string? name)
    {
        var printed = new LayoutDocument(
            simulated.GridPicometres,
            ["printed"],
            [new Cell("drawing", [new PolygonShape(0, DoseFactor.One, simulated.Printed, FillRule.NonZero)], [])],
            "drawing");
        Write(name, false, stream => LayoutWriter.Write(printed, stream));
    }

    /// <summary>Energy as an array file.</summary>
    public void WriteEnergy(string? name) => Write(name, true, stream => simulated.Map!.WriteArray(stream));

    /// <summary>Printed over drawn outlines, the energy behind them.</summary>
    public void WritePicture(string? name, double levelCoulombsPerSquareMetre) =>
        WriteScene(name, () => SimulationPicture.Compose(simulated, drawn, levelCoulombsPerSquareMetre, options));

    /// <summary>What remains of the resist, as an array file or a picture.</summary>
    /// <param name="name">The file.</param>
    /// <param name="filmNanometres">Thickness of the film; null if unknown.</param>
    public void WriteThickness(string? name, double? filmNanometres)
    {
        if (IsArray(name))
        {
            Write(name, true, stream => simulated.Thickness!.WriteArray(stream));
        }
        else
        {
            WriteScene(name, () => SimulationPicture.ComposeThickness(simulated, drawn, filmNanometres, options));
        }
    }

    private void WriteScene(string? name, Func<Scene> compose)
    {
        if (name is not null)
        {
            PictureFile.Write(name, compose(), context);
        }
    }

    private void Write(string? name, bool isBinary, Action<Stream> write)
    {
        if (name is null)
        {
            return;
        }

        using OutputFile file = context.Outputs.Create(name, isBinary);
        write(file.Stream);
        file.Commit();
    }
}
