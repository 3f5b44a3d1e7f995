using System.Collections.Immutable;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Generate.BringUp;

/// <summary>A stream of many short records, during which cables are pulled: on the bench, and with the beam in a cup.</summary>
internal static class Unplugged
{
    private const double DrainSeconds = 2;
    private const double TotalSeconds = 20;
    private const int MostRecords = 200_000;

    /// <summary>On the bench.</summary>
    public static BringUpStep AtOutputs(BringUpBench bench)
    {
        Machine machine = bench.Machine;
        BringUpStep step = Step(bench, BringUpPhase.NoBeam, "unplugged", "Unplugged cable");
        return step with
        {
            Connect = machine.Blanker.IsPresent ? "The scope at the blank line, then at X." : "The scope at X.",
            Beam = machine.Blanker.IsPresent
                ? BlankText.Moves(machine.Blanker, "It stands at beam on throughout, so that its fall to beam off can be seen. The high voltage is off.")
                : BlankText.Off(machine.Blanker, "X moves throughout, so that its rest can be seen."),
            LookAt =
            [
                machine.Blanker.IsPresent
                    ? $"Start the stream, pull the cable of the link: the blank line goes {BlankText.OffLevel(machine.Blanker)} within the time above, and stays there when the cable is back."
                    : "Start the stream, pull the cable of the link: X rests within the time above, and stays at rest when the cable is back.",
                "Start it again, end 'patternc send' with Ctrl-C: the same, at once.",
                "Start it again, hold the controller’s reset: the same, at once. Then its supply.",
                "X and Y stay where they were, or go to their middle; they never run to an end.",
            ],
            Faults =
            [
                ("The line stays at beam on when the cable is pulled", "the receiver does not turn the beam off when it starves: see ‘Starvation’ in the stream’s page"),
                ("It comes back by itself with the cable", "the receiver goes on with what it held: after its timeout a stream is over"),
                ("In reset or without power the line floats", "the resistor at the line is missing, or hangs on the controller’s own supply"),
                ("An output runs to an end at power-off", "supplies that fall one after the other: the microscope’s input must bear it, or a relay must open first"),
            ],
            Stop = [machine.Blanker.IsPresent ? "Any pulled cable leaves the line at beam on. Do not connect the microscope before that is mended." : "X goes on without the link: the receiver makes up records. Mend it before the microscope is connected."],
        };
    }

    /// <summary>With the beam in a cup; only where something turns it off.</summary>
    public static BringUpStep OnCup(BringUpBench bench)
    {
        BringUpStep step = Step(bench, BringUpPhase.BeamOnScrap, "cup-unplugged", "Unplugged cables with the beam in a cup");
        return step with
        {
            Connect = "Outputs and blanker at the microscope, high voltage and beam on for the first time, by whoever is licensed to; the beam in a Faraday cup with a current meter.",
            Beam = BlankText.Moves(bench.Machine.Blanker, "The beam is on throughout, in the cup: only then does its absence mean something."),
            Facts = [.. step.Facts, ("Current with the beam on, by the machine file", BringUpText.Current(bench.Machine.Beam.CurrentAmperes)), ("With the beam off", BringUpText.Current(bench.Machine.Beam.CurrentAmperes * bench.Machine.Blanker.LeakFraction))],
            LookAt =
            [
                "Before the stream: no current but the leak. With it: the current of the machine file.",
                "Pull the link’s cable, then (from the start again) the controller’s supply, hold its reset, pull the cable between controller and blanker: the current has to vanish each time.",
            ],
            Faults =
            [
                ("Current before the stream", "polarity, or a blanker that does not move the beam off its aperture"),
                ("Current that stays with the blanker’s cable pulled", "the resistor at the blanker’s end is missing or weak"),
                ("Current other than the machine file’s", "measure it and state 'beam.current': every dose follows from it"),
            ],
            Stop = ["The current stays in any of these cases: turn the beam off at the microscope, and go back to the bench.", "Anything at the microscope smells, sounds or shows other than usual: high voltage off first, questions later."],
        };
    }

    private static BringUpStep Step(BringUpBench bench, BringUpPhase phase, string name, string title)
    {
        long held = bench.Blocks * bench.RecordsPerBlock;
        double seconds = Math.Max(DrainSeconds / held, TotalSeconds / MostRecords);
        long ticks = Math.Min(bench.Ticks(seconds), bench.Machine.Clock.MaximumDwellTicks);
        int count = (int)Math.Clamp(TotalSeconds / bench.Seconds(ticks), 2 * bench.RecordsPerBlock, MostRecords);
        long settle = bench.Ticks(0.01);
        double drain = bench.Seconds(Math.Min(held, count) * ticks);
        ImmutableArray<(string, string)> facts =
        [
            ("Whole stream", BringUpText.Time(bench.Seconds(settle + count * ticks))),
            ("Records", $"{BringUpText.Number(count, 9)}, each {BringUpText.Time(bench.Seconds(ticks))}"),
            ("Blocks that the controller holds, by the machine file", BringUpText.Number(bench.Blocks, 9)),
            held < count
                ? ("Longest time from the pulled link to the beam off", BringUpText.Time(drain))
                : ("The controller holds the whole stream: a pulled link ends nothing before", BringUpText.Time(drain)),
        ];
        return new BringUpStep(phase, name, title, Records(bench, settle, ticks, count))
        {
            Connect = "",
            Beam = "",
            Facts = facts,
            LookAt = [],
            Faults = [],
            Stop = [],
            Views = [new("", "The start; what follows goes on like this.", 0, settle + 20 * ticks)],
        };
    }

    private static IEnumerable<DeflectionRecord> Records(BringUpBench bench, long settle, long ticks, int count)
    {
        yield return DeflectionRecord.Jump(bench.X.Middle, bench.Y.Middle, settle);
        for (int i = 0; i < count; i++)
        {
            yield return bench.Machine.Blanker.IsPresent
                ? DeflectionRecord.Dot(bench.X.Middle, bench.Y.Middle, ticks)
                : DeflectionRecord.Jump(i % 2 == 0 ? bench.X.UpperQuarter : bench.X.LowerQuarter, bench.Y.Middle, ticks);
        }
    }
}
