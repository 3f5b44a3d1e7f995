using PatternCompiler.Generate;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Passes;

namespace PatternCompiler.Tests.Generate;

public sealed class ConverterHoldsTests
{
    [Fact]
    public void Both_sides_of_each_carry_and_the_ends_are_held_with_the_other_at_both_ends()
    {
        var dac = new Dac(12, -5, 5, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode);
        ConverterHold[] holds = [.. ConverterHolds.Plan(dac, 2)];
        int[] codes = [0, 256, 512, 768, 1023, 1024, 1280, 1536, 1792, 2047, 2048, 2303, 2559, 2815, 3071, 3072, 3327, 3583, 3839, 4095];
        Assert.Equal(
            [.. from axis in "xy" from other in new[] { 0, 4095 } from code in codes select new ConverterHold(axis, code, other)],
            holds);
    }

    /// <summary>Where segments are shorter than the parts they are divided into, every code is held once.</summary>
    [Theory]
    [InlineData(8, 12)]
    [InlineData(8, 7)]
    [InlineData(24, 12)]
    public void Codes_exist_and_are_held_once(int bits, int carryBits)
    {
        var dac = new Dac(bits, 0, 5, DacCoding.Straight, DacFullScale.LastCode);
        ConverterHold[] holds = [.. ConverterHolds.Plan(dac, carryBits)];
        Assert.Equal(holds.Length, holds.Distinct().Count());
        Assert.All(holds, hold => Assert.InRange(hold.Code, 0, dac.CodeCount - 1));
    }

    [Fact]
    public void Records_hold_as_long_as_asked_with_the_beam_off_and_the_table_says_when()
    {
        var output = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var settings = new BuildSettings(DefaultFiles.Job, DefaultFiles.Machine, DefaultFiles.Process);
        string table = ConverterHoldsTarget.Write(settings, 1, 0.25, output);
        Assert.True(output.HasEnded);
        Assert.All(output.Items, record => Assert.Equal((RecordKind.Jump, 2_500_000L), (record.Kind, record.Ticks)));
        string[] lines = table.Split('\n');
        Assert.Equal("axis, code, other, volts [V], from [s]", lines[1]);
        Assert.Equal("x, 0, 0, , 0", lines[2]);
        Assert.Equal("x, 8192, 0, , 0.25", lines[3]);
        Assert.Equal(output.Items.Count + 3, lines.Length);
        int y = Array.FindIndex(lines, line => line.StartsWith("y, 8192, 65535", StringComparison.Ordinal));
        Assert.Equal((65535, 8192), (output.Items[y - 2].X, output.Items[y - 2].Y));
    }

    /// <summary>Ticks beyond what a record of every format holds go on as waits.</summary>
    [Fact]
    public void Long_holds_go_on_as_waits()
    {
        var output = new CollectingSink<RecordsHeader, DeflectionRecord>();
        ConverterHolds.Write(new RecordsHeader("m", ConverterTablesDac, 1e9, 1, 100, 1, 1, false), [new('x', 5, 7)], 2_500_000_000, output);
        Assert.Equal([DeflectionRecord.Jump(5, 7, 1L << 30), DeflectionRecord.Wait(1L << 30), DeflectionRecord.Wait(2_500_000_000 - (2L << 30))], output.Items);
    }

    private static Dac ConverterTablesDac => Calibration.ConverterTables.Dac;
}
