using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Passes.Timing;

namespace PatternCompiler.Tests.Passes.Scale;

/// <summary>From strokes that wait to records that wait.</summary>
public sealed class TriggerScaleTests
{
    private static readonly ScaleOptions Options = ScaleCase.Options with { Trigger = new TriggerInput(50, 0.1) };
    private static readonly Stroke[] Strokes =
    [
        Stroke.Await(0, 0, 0, 2_000_000), Stroke.Dot(0, 0, 0, 5 * ScaleCase.TickCharge), Stroke.Await(1, 50_000_000, 0, 0), Stroke.Dot(1, 50_000_000, 0, 6 * ScaleCase.TickCharge),
    ];

    // 10 MHz: 2 us are 20 ticks, 100 ms a million.
    [Fact]
    public void A_jump_a_trigger_and_the_wait_after_it()
    {
        CollectingSink<RecordsHeader, DeflectionRecord> found = Run(Options);
        Assert.True(found.Header!.WaitsForTrigger);
        Assert.Equal(
            [
                DeflectionRecord.Jump(32768, 32768, 10), DeflectionRecord.Trigger(1_000_000), DeflectionRecord.Wait(20), DeflectionRecord.Dot(32768, 32768, 5),
                DeflectionRecord.Jump(32818, 32768, 10), DeflectionRecord.Trigger(1_000_000), DeflectionRecord.Dot(32818, 32768, 6),
            ],
            found.Items);
    }

    [Fact]
    public void A_machine_without_the_input_is_refused() => Assert.Equal(
        "error PC1410: the strokes wait for the trigger input, but the machine 'bench' has none; add 'trigger' to the machine file if the controller has such an input, or fill again with 'fill.trigger' at none",
        Assert.Throws<CompileException>(() => Run(ScaleCase.Options)).Message);

    // An edge may come at once: what the blanker needs to be off stands before the wait.
    [Fact]
    public void The_blanker_is_off_before_the_wait_begins()
    {
        var output = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var timing = new BlankerTiming(new Blanker(true, true, 1e-6, 0, 0) { IsCompensated = true, ShortestPulseSeconds = 3e-6 }, output);
        timing.Begin(ScalePass.HeaderOf(Options));
        timing.Write([DeflectionRecord.Jump(1, 1, 40), DeflectionRecord.Dot(1, 1, 50), DeflectionRecord.Trigger(9), DeflectionRecord.Dot(1, 1, 50)]);
        timing.End();
        Assert.Equal(
            [
                DeflectionRecord.Jump(1, 1, 40), DeflectionRecord.Dot(1, 1, 40), DeflectionRecord.Wait(10), DeflectionRecord.Wait(30), DeflectionRecord.Trigger(9),
                DeflectionRecord.Dot(1, 1, 40), DeflectionRecord.Wait(10),
            ],
            output.Items);
    }

    /// <summary>A drift of the current goes on while the beam waits for an edge: by so many ticks more does the next exposure begin.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    public void Waits_for_edges_take_their_mean_time(int triggers)
    {
        var timing = new BlankerTiming(new Blanker(true, true, 1e-6, 0, 0) { IsCompensated = true }, new CollectingSink<RecordsHeader, DeflectionRecord>()) { MeanTriggerTicks = 1234 };
        timing.Begin(ScalePass.HeaderOf(Options));
        timing.Write([DeflectionRecord.Jump(1, 1, 40), DeflectionRecord.Dot(1, 1, 50), DeflectionRecord.Jump(2, 1, 30)]);
        long before = timing.ElapsedTicks;
        timing.Write([.. Enumerable.Repeat(DeflectionRecord.Trigger(9), triggers)]);
        Assert.Equal(before + (1234 * triggers), timing.ElapsedTicks);
    }

    private static CollectingSink<RecordsHeader, DeflectionRecord> Run(ScaleOptions options)
    {
        var output = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var pass = new ScalePass(options, output);
        pass.Begin(new StrokesHeader(["pattern"]) { WaitsForTrigger = true });
        pass.Write(Strokes);
        pass.End();
        return output;
    }
}
