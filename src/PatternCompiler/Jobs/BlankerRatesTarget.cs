using System.Runtime.InteropServices;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Generate.BringUp;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Rates of the blank line as records of a machine, for a meter behind a Faraday cup.</summary>
internal static class BlankerRatesTarget
{
    private const double FemtometresPerNanometre = 1e6;
    private const int RecordsAtOnce = 4096;
    private const string Command = "patternc generate blanker-readings";

    // The line dose of a bench is for what it writes on scrap.
    private const double NoLine = 1;

    /// <summary>Pushes the records and returns the table to fill in.</summary>
    /// <param name="settings">The machine.</param>
    /// <param name="asideNanometres">How far along x the beam goes to be out of the cup; null to keep it there.</param>
    /// <param name="holdSeconds">How long each rate lasts.</param>
    /// <param name="output">Takes the records.</param>
    /// <exception cref="CompileException">The machine has no blanker, or the place aside is out of its reach.</exception>
    public static string Write(BuildSettings settings, double? asideNanometres, double holdSeconds, IDocumentSink<RecordsHeader, DeflectionRecord> output)
    {
        Machine machine = settings.Machine;
        if (!machine.Blanker.IsPresent)
        {
            throw new CompileException(
                CommandCodes.WrongUsage, "this machine has no blanker that could be measured", new SourcePlace(Command), "name a machine file with a 'blanker' section");
        }

        var bench = new BringUpBench(machine, OutputFormats.ProfileFor(machine), NoLine);
        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        (int X, int Y) cup = At(0), aside = At(asideNanometres ?? 0);
        IReadOnlyList<BlankerRate> rows = BlankerRates.Plan(bench, asideNanometres is not null);
        output.Begin(ScalePass.HeaderOf(StageOptions.Scale(settings.Job, machine)));
        var some = new List<DeflectionRecord>(RecordsAtOnce);
        foreach (DeflectionRecord record in BlankerRates.Records(bench, rows, holdSeconds, cup, aside))
        {
            some.Add(record);
            if (some.Count == RecordsAtOnce)
            {
                output.Write(CollectionsMarshal.AsSpan(some));
                some.Clear();
            }
        }

        output.Write(CollectionsMarshal.AsSpan(some));
        output.End();
        return BlankerRates.Table(bench, rows, holdSeconds);

        (int X, int Y) At(double nanometres)
        {
            (double x, double y) = mapping.CodesAt((long)Math.Round(nanometres * FemtometresPerNanometre), 0);
            return mapping.Reaches(x, y)
                ? ((int)DacMapping.Nearest(x), (int)DacMapping.Nearest(y))
                : throw new CompileException(
                    CommandCodes.WrongUsage, $"{QuantityText.Format(nanometres * 1e-9, Dimension.Length)} aside of the field's centre is out of reach",
                    new SourcePlace(Command), "choose a smaller distance, or one to the other side");
        }
    }
}
