using PatternCompiler.Generate;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Jobs;

/// <summary>Holds for a voltmeter as records of a machine.</summary>
internal static class ConverterHoldsTarget
{
    /// <summary>Pushes the records and returns the table to fill in.</summary>
    /// <param name="settings">The machine.</param>
    /// <param name="carryBits">Carries of so many of the upper bits.</param>
    /// <param name="secondsPerHold">How long each hold lasts, at least a tick.</param>
    /// <param name="output">Takes the records.</param>
    public static string Write(BuildSettings settings, int carryBits, double secondsPerHold, IDocumentSink<RecordsHeader, DeflectionRecord> output)
    {
        Machine machine = settings.Machine;
        IReadOnlyList<ConverterHold> holds = ConverterHolds.Plan(machine.Dac, carryBits);
        long ticks = Math.Max(1, (long)Math.Round(secondsPerHold * machine.Clock.Hertz));
        ConverterHolds.Write(ScalePass.HeaderOf(StageOptions.Scale(settings.Job, machine)), holds, ticks, output);
        return ConverterHolds.Table(holds, ticks / machine.Clock.Hertz);
    }
}
