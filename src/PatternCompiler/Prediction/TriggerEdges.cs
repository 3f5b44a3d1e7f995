using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Prediction;

/// <summary>The edges of a trigger input during an exposure: evenly spaced, one of them at time 0 of the hum.</summary>
/// <param name="input">The input.</param>
/// <param name="startSeconds">Time of the exposure's start after an edge.</param>
internal sealed class TriggerEdges(TriggerInput input, double startSeconds)
{
    /// <summary>Time since the exposure's start of the next edge; one that comes at the very moment is missed.</summary>
    public double After(double seconds) => (Math.Floor((seconds + startSeconds) * input.Hertz) + 1) / input.Hertz - startSeconds;

    /// <summary>The edges of a machine for records, or null where these do not wait for any.</summary>
    /// <exception cref="CompileException">They wait, and the machine has no trigger input.</exception>
    public static TriggerEdges? For(RecordsHeader header, Machine machine, double startSeconds) =>
        header.WaitsForTrigger ? new(InputFor(header, machine), startSeconds) : null;

    /// <summary>The input that records wait for.</summary>
    /// <exception cref="CompileException">The machine has none.</exception>
    public static TriggerInput InputFor(RecordsHeader header, Machine machine) => machine.Trigger ?? throw new CompileException(
        PredictionCodes.NoTrigger,
        $"the records of '{header.MachineName}' wait for the trigger input, but the machine '{machine.Name}' has none, so nobody knows when they go on",
        fix: "name the machine for which they were made, or add 'trigger' to its file");
}
