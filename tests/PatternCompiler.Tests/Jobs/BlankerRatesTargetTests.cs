using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Generate.BringUp;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Passes;

namespace PatternCompiler.Tests.Jobs;

/// <summary>Rates for a current meter: the beam in the middle or aside of it along x, all records in order, and the table of the same rates.</summary>
public sealed class BlankerRatesTargetTests
{
    private const string Machine = """
        machine: m
        dac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}
        deflection: {field_width: 100 um, field_height: 80 um, invert_x: yes}
        clock: {rate: 1 MHz, shortest_dwell: 2 ticks, longest_dwell: 1000 ticks}
        blanker: {active: high, off_delay: 3 us, on_delay: 2 us}
        beam: {current: 100 pA, spot: 20 nm, energy: 30 keV}
        link: {rate: 1 MB/s, buffer: 4 KiB}
        """;

    // 10 um of 100 um are 6553.6 of 65536 codes, downwards as x is inverted.
    [Theory]
    [InlineData(null, 32_768)]
    [InlineData(10_000.0, 26_214)]
    [InlineData(-10_000.0, 39_322)]
    public void All_rates_are_written_at_their_places(double? aside, int code)
    {
        (string table, List<DeflectionRecord> records) = Write(Machine, aside);
        var bench = new BringUpBench(MachineFile.Parse(Machine, "m.yaml"), PatternCompiler.BackEnds.ExposureStream.StreamProfile.Lines, 1);
        IReadOnlyList<BlankerRate> rows = BlankerRates.Plan(bench, aside is not null);
        Assert.Equal(BlankerRates.Records(bench, rows, 0.05, (32_768, 32_768), (code, 32_768)), records);
        Assert.Equal(BlankerRates.Table(bench, rows, 0.05), table);
        Assert.Equal(aside is null ? [32_768] : new HashSet<int> { 32_768, code }, records.Where(record => record.Kind != RecordKind.Wait).Select(record => record.X).ToHashSet());
        Assert.InRange(records.Count, 4097, 1_000_000);
    }

    [Fact]
    public void A_place_aside_is_within_reach()
    {
        Write(Machine, 50_000);
        Assert.Equal(
            "error PC0001: 50.1 um aside of the field's centre is out of reach; choose a smaller distance, or one to the other side",
            Told(Assert.Throws<CompileException>(() => Write(Machine, 50_100))));
    }

    [Fact]
    public void Without_a_blanker_there_is_nothing_to_measure() => Assert.Equal(
        "error PC0001: this machine has no blanker that could be measured; name a machine file with a 'blanker' section",
        Told(Assert.Throws<CompileException>(() => Write(Machine.Replace("{active: high, off_delay: 3 us, on_delay: 2 us}", "none", StringComparison.Ordinal), null))));

    private static string Told(CompileException fault) => $"error {fault.Diagnostic.Code.Id}: {fault.Diagnostic.Message}; {fault.Diagnostic.Fix}";

    private static (string Table, List<DeflectionRecord> Records) Write(string machine, double? aside)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var settings = new BuildSettings(DefaultFiles.Job, MachineFile.Parse(machine, "m.yaml"), DefaultFiles.Process);
        string table = BlankerRatesTarget.Write(settings, aside, 0.05, new RecordsChecker(sink));
        Assert.True(sink.HasEnded);
        return (table, sink.Items);
    }
}
