using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Simulating;

/// <summary>From a document of any stage to the charge on the sample, for commands that judge by what would print.</summary>
internal static class PrintSimulation
{
    /// <summary>Pixel where none is asked for.</summary>
    public const double UsualPixelNanometres = 5;

    /// <summary>The option for another pixel: from where a map of a whole field can still be counted in whole numbers to where no beam is seen.</summary>
    public static Option<Quantity?> PixelOption(string description) =>
        QuantityOption.CreateWithin("--pixel", description, new(0.1, Unit.Nanometre), new(1000, Unit.Nanometre));

    /// <summary>What development needs, from machine and process.</summary>
    /// <exception cref="CompileException">The process does not say how energy spreads.</exception>
    public static SimulationOptions Options(BuildSettings chosen) => new(
        chosen.Process.Spread ?? throw new CompileException(
            CommandCodes.NoSpread,
            $"the process '{chosen.Process.Name}' does not say how energy spreads, so nothing can be predicted",
            fix: "add 'spread' to the process file; 'patternc init' shows it with typical values"),
        chosen.Machine.Beam.SpotNanometres,
        chosen.Process.Response.PrintingCoulombsPerSquareMetre)
    {
        GridPicometres = chosen.Job.GridPicometres,
        Limits = chosen.Job.Limits,
        RestNanometres = chosen.Machine.Blanker.IsPresent ? null : chosen.Machine.ParkOnDrawing,
    };

    /// <summary>The square of sample that a window names.</summary>
    public static SampleWindow? Square(PictureWindow? window)
    {
        if (window is null)
        {
            return null;
        }

        double half = window.WidthNanometres / 2;
        return new SampleWindow(
            window.CentreXNanometres - half, window.CentreYNanometres - half, window.CentreXNanometres + half, window.CentreYNanometres + half);
    }
}
