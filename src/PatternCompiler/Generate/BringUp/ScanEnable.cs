using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Generate.BringUp;

/// <summary>The scan-enable line about a few moves of the outputs.</summary>
internal static class ScanEnable
{
    private const double MoveSeconds = 1e-3;
    private const int Moves = 4;

    /// <summary>The step.</summary>
    public static BringUpStep Step(BringUpBench bench)
    {
        Blanker blanker = bench.Machine.Blanker;
        long before = ToTicks(bench, blanker.ScanEnableSeconds), after = ToTicks(bench, blanker.ScanDisableSeconds);
        long move = bench.Ticks(MoveSeconds);
        long whole = before + (Moves + 1) * move + after;
        return new BringUpStep(BringUpPhase.NoBeam, "scan-enable", "Scan-enable", Records(bench, before, move, after))
        {
            Connect = "The scope: channel 1 at scan-enable, channel 2 at X. Trigger on the rising edge of scan-enable, single shot; send the stream again for another. A microscope without such a line, or a board that has none, leaves this step out.",
            Beam = BlankText.Off(blanker, "The line is up while a stream is written, beam or no beam."),
            Facts =
            [
                ("From its rise to the first move", BringUpText.Time(bench.Seconds(before))),
                ("Moves", $"{Moves}, each {BringUpText.Time(bench.Seconds(move))}, between {bench.VoltsX(bench.X.LowerQuarter)} and {bench.VoltsX(bench.X.UpperQuarter)}, then the middle"),
                ("From the last move’s end to its fall", BringUpText.Time(bench.Seconds(after))),
                ("Up for", BringUpText.Time(bench.Seconds(whole))),
            ],
            LookAt = ["Up once, before the first move, down once, after the last; never down between.", "Its level while the controller is without power: the microscope must then scan by itself."],
            Faults =
            [
                ("It falls between blocks", "the receiver lowers it when no block is there: it belongs up until the stream ends"),
                ("It stays up after the stream", "the receiver forgets it on a fault, a stop or the end"),
                ("It rises with power or reset", "no pull-down on the line"),
            ],
            Stop = ["The line is up without power: the microscope’s own scan would be off, with its beam at rest on one place."],
            Views = [new("", "The whole stream.", 0, whole)],
        };
    }

    private static long ToTicks(BringUpBench bench, double seconds) => (long)Math.Ceiling(seconds * bench.Machine.Clock.Hertz);

    private static IEnumerable<DeflectionRecord> Records(BringUpBench bench, long before, long move, long after)
    {
        foreach (DeflectionRecord wait in BringUpBench.Wait(before))
        {
            yield return wait;
        }

        for (int i = 0; i < Moves; i++)
        {
            yield return DeflectionRecord.Jump(i % 2 == 0 ? bench.X.UpperQuarter : bench.X.LowerQuarter, bench.Y.Middle, move);
        }

        yield return DeflectionRecord.Jump(bench.X.Middle, bench.Y.Middle, move);
        foreach (DeflectionRecord wait in BringUpBench.Wait(after))
        {
            yield return wait;
        }
    }
}
