using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Simulating;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Comparing;

/// <summary>What documents of any kind would print; each is simulated once.</summary>
/// <param name="settings">Machine, process, and the stages that a document has not gone through yet.</param>
/// <param name="readDrawing">Reads a drawing.</param>
/// <param name="pixelNanometres">Pixel of the simulation.</param>
/// <param name="context">Messages and cancellation.</param>
internal sealed class PrintedOutlines(
    BuildSettings settings, Func<InputStream, LayoutDocument> readDrawing, double pixelNanometres, CommandContext context)
{
    private readonly Dictionary<string, FlatLayout> known = new(StringComparer.Ordinal);

    /// <summary>Printed outlines of a file.</summary>
    public FlatLayout Of(string name)
    {
        if (!known.TryGetValue(name, out FlatLayout? printed))
        {
            printed = Simulate(name);
            known.Add(name, printed);
        }

        return printed;
    }

    private FlatLayout Simulate(string name)
    {
        var charge = new ChargeMap(pixelNanometres);
        using (InputStream source = context.Open(name))
        {
            PrintSimulation.Replay(source, settings, () => readDrawing(source), charge, null, context);
        }

        SimulationResult simulated = Developer.Run(charge, null, PrintSimulation.Options(settings), context.Cancellation);
        return new FlatLayout(simulated.GridPicometres, ["printed"], [new FlatLayer(0, DoseFactor.One, simulated.Printed, [], [])]);
    }
}
