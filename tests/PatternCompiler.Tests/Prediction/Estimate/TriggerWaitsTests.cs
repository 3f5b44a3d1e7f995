using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Tests.Prediction.Estimate;

/// <summary>Waits worked out by hand: mains of 50 Hz has a period of 20,000 ticks of a clock of 1 MHz.</summary>
public sealed class TriggerWaitsTests
{
    private static readonly Machine Machine = DefaultFiles.Machine with { Trigger = new TriggerInput(50, 0.1) };

    private static readonly RecordsHeader Header = new(
        "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e6, 1, 1_000_000, 1, 1, false) { WaitsForTrigger = true };

    [Fact]
    public void Waits_last_what_is_left_of_the_period_and_exposures_from_the_first_to_the_last()
    {
        TriggerWaits waits = TriggerWaits.For(Header, Machine)!;
        Assert.Equal(10_000, waits.Wait());
        See(waits, DeflectionRecord.Jump(1, 2, 300), DeflectionRecord.Dot(1, 2, 1000), DeflectionRecord.Jump(3, 2, 200), DeflectionRecord.Line(3, 2, 9, 2, 7, 3000));
        Assert.Equal(15_500, waits.Wait());

        // Nothing is exposed behind this edge: it is no unit. Behind the next one a single tick is, and then two periods and a quarter pass.
        See(waits, DeflectionRecord.Jump(3, 2, 500));
        Assert.Equal(19_500, waits.Wait());
        See(waits, DeflectionRecord.Dot(1, 2, 1), DeflectionRecord.Wait(44_999));
        Assert.Equal(15_000, waits.Wait());
        TriggerEstimate told = waits.ToEstimate(null)!;
        Assert.Equal((4, 0.06, 0.08, 0.0042, 0.0021005), (told.Waits, told.ExpectedSeconds, Math.Round(told.MostSeconds, 12), told.LongestUnitSeconds, Math.Round(told.MeanUnitSeconds, 12)));
    }

    [Fact]
    public void A_move_of_the_stage_leaves_nothing_known_of_the_period()
    {
        TriggerWaits waits = TriggerWaits.For(Header, Machine)!;
        Assert.Equal(10_000, waits.Wait());
        See(waits, DeflectionRecord.Dot(1, 2, 600));
        waits.BeginField();
        Assert.Equal(10_000, waits.Wait());
        See(waits, DeflectionRecord.Dot(1, 2, 400));
        TriggerEstimate told = waits.ToEstimate(null)!;
        Assert.Equal((2, 0.02, 0.0006, 0.0005), (told.Waits, told.ExpectedSeconds, told.LongestUnitSeconds, told.MeanUnitSeconds));
        Assert.Null(TriggerWaits.For(Header, Machine)!.ToEstimate(null));
    }

    private static void See(TriggerWaits waits, params ReadOnlySpan<DeflectionRecord> records)
    {
        foreach (DeflectionRecord record in records)
        {
            waits.See(record);
        }
    }
}
