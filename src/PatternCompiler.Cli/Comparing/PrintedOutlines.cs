using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Cli.Simulating;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Comparing;

/// <summary>What documents of any kind would print; each is simulated once.</summary>
/// <param name="open">Opens a document with the settings under which it is compiled on.</param>
/// <param name="pixelNanometres">Pixel of the simulation.</param>
/// <param name="context">Messages and cancellation.</param>
internal sealed class PrintedOutlines(Func<string, CompiledInput> open, double pixelNanometres, CommandContext context)
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
        using CompiledInput source = open(name);
        var charge = ChargeMap.For(source.Settings.Machine.Blanker, pixelNanometres);
        source.Pipeline.Run(source.Document, [new ReplayWatcher(source.Settings.Machine, charge)]);
        SimulationResult simulated = Developer.Run(charge, null, PrintSimulation.Options(source.Settings), context.Cancellation);
        return new FlatLayout(simulated.GridPicometres, ["printed"], [new FlatLayer(0, DoseFactor.One, simulated.Printed, [], [])]);
    }
}
