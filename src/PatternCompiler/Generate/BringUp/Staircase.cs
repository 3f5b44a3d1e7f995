using System.Collections.Immutable;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Generate.BringUp;

/// <summary>Single codes up and down over the places where many bits of a converter change at once.</summary>
internal static class Staircase
{
    private const int CarryBits = 4;
    private const int CodesBeside = 4;
    private const int Repeats = 4;
    private const double ShortestStepSeconds = 20e-6;
    private const int TimeConstants = 10;
    private const int RestSteps = 8;

    /// <summary>The step.</summary>
    public static BringUpStep Step(BringUpBench bench)
    {
        Machine machine = bench.Machine;
        int[] x = Carries(machine, bench.X), y = Carries(machine, bench.Y);
        long ticks = bench.Ticks(Math.Max(ShortestStepSeconds, TimeConstants * machine.Settle.TimeConstantSeconds));
        long carryTicks = Repeats * (RestSteps + 4L * CodesBeside) * ticks;
        int mainIndex = Math.Max(0, Array.IndexOf(x, machine.Dac.CodeCount / 2));
        return new BringUpStep(BringUpPhase.NoBeam, "staircase", "Staircase over the converter’s carries", Records(bench, x, y, ticks))
        {
            Connect = "The scope with its highest gain, AC coupled for this step alone, at X for the first half and at Y for the second. Single shots, triggered by what rises above the noise.",
            Beam = BlankText.Off(machine.Blanker, "Stairs are made of jumps."),
            Facts =
            [
                ("One code", BringUpText.Volts(bench.StepVolts)),
                ("Each stair", BringUpText.Time(bench.Seconds(ticks))),
                ("Stairs at each carry", $"{2 * CodesBeside} codes up and down, {Repeats} times, after {RestSteps} stairs of rest"),
                ("One carry", BringUpText.Time(bench.Seconds(carryTicks))),
            ],
            Table = new BringUpTable(
                "Carries, in their order",
                ["Output", "#From", "Word below", "Word above", "#Volts below", "#Volts above"],
                [.. Rows(bench, x, true, 0, carryTicks), .. Rows(bench, y, false, x.Length * carryTicks, carryTicks)]),
            LookAt =
            [
                "Spikes at each carry: how high, how long. They end within the settling time, or every line that crosses the carry shows them.",
                "Stairs of one size, up and down. Where one code is below the scope’s noise, look at spikes alone and leave sizes to a voltmeter: 'patternc generate converter-readings', then 'patternc fit converter'.",
            ],
            Faults =
            [
                ("A stair twice as high, or none, every second code", "the lowest bit is stuck or not connected"),
                ("A stair down on the way up at one carry", "that bit of the converter weighs too little: state it as 'linearity_x' or 'linearity_y', or use the codes to one side"),
                ("A jump of many codes at a carry", "two bits are exchanged, or coarse and fine converters do not fit"),
                ("Spikes that outlast a stair", "a converter without a latch, or bits that are loaded one after another: load all at once"),
            ],
            Stop = ["A spike goes beyond the range of the outputs."],
            Views = [new("", "The largest carry of X, once up and down, the second time.", mainIndex * carryTicks + carryTicks / Repeats, carryTicks / Repeats)],
        };
    }

    /// <summary>Codes whose upper bits change from the code below, the border of the fine converter nearest above the middle among them.</summary>
    private static int[] Carries(Machine machine, CodeSpan span)
    {
        int segment = machine.Dac.CodeCount >> CarryBits;
        var carries = new SortedSet<int>(Enumerable.Range(1, (1 << CarryBits) - 1).Select(i => i * segment));
        if (machine.Composite is { } composite)
        {
            carries.Add(machine.Dac.CodeCount / 2 + composite.CodesPerSubfield);
        }

        int[] usable = [.. carries.Where(code => code - CodesBeside >= span.Lowest && code + CodesBeside - 1 <= span.Highest)];

        // More than enough codes are usable that one of them has a carry of a lower bit.
        return usable.Length > 0 ? usable : [span.Middle / (2 * CodesBeside) * (2 * CodesBeside)];
    }

    private static IEnumerable<ImmutableArray<string>> Rows(BringUpBench bench, int[] carries, bool isX, long from, long carryTicks) => carries.Select((code, i) => ImmutableArray.Create(
        isX ? "X" : "Y",
        BringUpText.Time(bench.Seconds(from + i * carryTicks)),
        BlankText.Word(bench.Machine.Dac, code - 1),
        BlankText.Word(bench.Machine.Dac, code),
        isX ? bench.VoltsX(code - 1) : bench.VoltsY(code - 1),
        isX ? bench.VoltsX(code) : bench.VoltsY(code)));

    private static IEnumerable<DeflectionRecord> Records(BringUpBench bench, int[] x, int[] y, long ticks) =>
        x.SelectMany(code => Stairs(code, ticks, at => (at, bench.Y.Middle))).Concat(y.SelectMany(code => Stairs(code, ticks, at => (bench.X.Middle, at))));

    private static IEnumerable<DeflectionRecord> Stairs(int carry, long ticks, Func<int, (int X, int Y)> place)
    {
        for (int repeat = 0; repeat < Repeats; repeat++)
        {
            (int x, int y) = place(carry - CodesBeside);
            foreach (DeflectionRecord rest in BringUpBench.Hold(x, y, RestSteps * ticks))
            {
                yield return rest;
            }

            for (int i = 0; i < 4 * CodesBeside; i++)
            {
                (x, y) = place(carry - CodesBeside + (i < 2 * CodesBeside ? i : 4 * CodesBeside - 1 - i));
                yield return DeflectionRecord.Jump(x, y, ticks);
            }
        }
    }
}
