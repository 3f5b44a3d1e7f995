using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Tests.Prediction.Stray;

/// <summary>What leaks out of focus: a fog that draws no lines, against closed forms of Gaussians.</summary>
public sealed class LeakFogTests
{
    private const double Amperes = 1e-10;
    private const double Fog = 5000;
    private static readonly RecordsHeader Header = new(
        "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e7, 1, 1_000_000_000, 5, 5, false);

    private static readonly SpreadFunction Spread = SpreadFunction.TwoGaussian(30, 4000, 0.74);

    private static Machine MachineWith(double leak, double leakSpot) => DefaultFiles.Machine with
    {
        Blanker = new Blanker(true, true, 0, 0, leak) { LeakSpotNanometres = leakSpot },
        Settle = new SettleModel(0, 0, 1e8),
        Beam = new Beam(Amperes, 20, 30_000),
    };

    /// <summary>
    /// A beam that rests for a second with a thousandth of it leaking leaves Q/(πa²)·exp(−r²/a²) of each term, a² being the range of the
    /// term and that of the spot, FWHM/1.6651, in quadrature.
    /// </summary>
    [Theory]
    [InlineData(0)]
    [InlineData(1500)]
    [InlineData(6000)]
    public void A_resting_beam_leaves_the_spread_of_a_wide_spot(double away)
    {
        var map = ChargeMap.For(MachineWith(1e-3, Fog).Blanker, 10);
        var replay = new ExposureReplay(MachineWith(1e-3, Fog), map);
        replay.Begin(Header);
        replay.Write([DeflectionRecord.Jump(32_768, 32_768, 10_000_000)]);
        replay.End();
        Assert.Equal(1, map.TotalCoulombs / (1e-3 * Amperes), 1e-9);
        double size = ChargeMap.TileSide * 10.0;
        EnergyTile tile = new EnergyField(map, Spread, 20).Compute(((int)Math.Floor(away / size), 0), 4);
        double spot = Fog / SpreadFunction.HalfMaximumWidthPerRange;
        double expected = Spread.Terms.Index().Sum(term =>
        {
            double squared = term.Item.RangeNanometres * term.Item.RangeNanometres + spot * spot;
            return Spread.WeightOf(term.Index) * 1e-3 * Amperes / (Math.PI * squared * 1e-18) * Math.Exp(-away * away / squared);
        });
        Assert.Equal(1, tile.At(away, 0, 10) / expected, 0.02);
    }

    /// <summary>A leak in focus draws lines where the same leak out of focus draws none; how much it fogs is told.</summary>
    [Fact]
    public void A_fog_draws_no_lines()
    {
        DeflectionRecord[] records =
        [
            DeflectionRecord.Jump(30_000, 30_000, 10), DeflectionRecord.Dot(30_000, 30_000, 10),
            DeflectionRecord.Jump(34_000, 30_000, 2000), DeflectionRecord.Dot(34_000, 30_000, 10),
        ];
        StrayReport sharp = Scan(MachineWith(0.2, 0), records), wide = Scan(MachineWith(0.2, Fog), records);
        Assert.Equal((1, 0), (sharp.Printing, wide.Printing));
        Assert.Equal(0, sharp.FogPartOfOnset);

        // 200 us along 20 um leave 0.2·I·t over the length and the width of the fog: I·t/(L·a·√π) along the middle, of every term.
        double spot = Fog / SpreadFunction.HalfMaximumWidthPerRange;
        double middle = Spread.Terms.Index().Sum(term =>
            Spread.WeightOf(term.Index) * 0.2 * Amperes * 2e-4 / (20_000e-9 * Math.Sqrt(Math.PI) * 1e-9 * Math.Sqrt(term.Item.RangeNanometres * term.Item.RangeNanometres + spot * spot)));
        Assert.InRange(wide.FogPartOfOnset * Onset / middle, 0.9, 1.6);
        Assert.Null(StrayText.FogOf(wide));
    }

    [Theory]
    [InlineData(0.05, "")]
    [InlineData(0.0999, "")]
    [InlineData(0.1, "warning PC3028: what the blanker leaks out of focus leaves up to 10% of the dose at which the resist starts to react, on all that lies around; stop the leak, wait less with the beam off, or let the beam rest elsewhere ('park')")]
    [InlineData(1, "warning PC3029: what the blanker leaks out of focus leaves up to 100% of the dose at which the resist starts to react: it prints by itself; stop the leak, wait less with the beam off, or let the beam rest elsewhere ('park')")]
    [InlineData(0.25, "warning PC3028: what the blanker leaks out of focus leaves up to 25% of the dose at which the resist starts to react, on all that lies around; stop the leak, wait less with the beam off, or let the beam rest elsewhere ('park')")]
    [InlineData(2, "warning PC3029: what the blanker leaks out of focus leaves up to 200% of the dose at which the resist starts to react: it prints by itself; stop the leak, wait less with the beam off, or let the beam rest elsewhere ('park')")]
    public void Much_fog_is_told(double part, string expected) =>
        Assert.Equal(expected, StrayText.FogOf(new StrayReport(1, 0, 0, 0, [], false) { FogPartOfOnset = part })?.ToString() ?? "");

    /// <summary>With a fog the jumps need not be led around.</summary>
    [Fact]
    public void Fog_leads_no_jump_around()
    {
        Job job = JobFile.Parse("{job: a, sources: [a.layout], order: {travel: hidden}, outputs: [{file: a.stream, format: stream}]}", null);
        Assert.NotNull(StageOptions.Route(job, MachineWith(0.01, 0), DefaultFiles.Process));
        Assert.Null(StageOptions.Route(job, MachineWith(0.01, Fog), DefaultFiles.Process));
    }

    [Theory]
    [InlineData("leak_spot: 150 nm", "m.yaml:6:36: error PC0115: 'blanker.leak_spot' must be from 10 times the beam's spot of 20 nm to 1 mm, but it is 150 nm; leave it out where what leaks has the beam's own spot")]
    [InlineData("rise_time: 1 us, on_delay: 0.3 us", "m.yaml:6:36: error PC0115: 'blanker.rise_time' of 1 us is longer than 2.197 times 'blanker.on_delay' of 300 ns, which holds the time constant of the edge; 'on_delay' counts from the line's edge until the beam has as much charge as if it switched at once: give it as 'patternc fit blanker' does")]
    [InlineData("fall_time: 1 us", "m.yaml:6:36: error PC0115: 'blanker.fall_time' of 1 us is longer than 2.197 times 'blanker.off_delay' of 0 s, which holds the time constant of the edge; 'off_delay' counts from the line's edge until the beam has as much charge as if it switched at once: give it as 'patternc fit blanker' does")]
    public void Settings_that_cannot_be_are_refused(string keys, string expected)
    {
        CompileException fault = Assert.Throws<CompileException>(() => MachineFile.Parse(
            "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}\ndeflection: {field: 100 um}\nclock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}\n"
            + $"beam: {{current: 100 pA, spot: 20 nm, energy: 30 keV}}\nblanker: {{active: high, {keys}}}\nlink: {{rate: 1 MB/s, buffer: 4 KiB}}\n", "m.yaml"));
        Assert.StartsWith(expected + "\n", fault.Diagnostic.ToString(), StringComparison.Ordinal);
    }

    private const double Onset = 1e-2;

    private static StrayReport Scan(Machine machine, DeflectionRecord[] records)
    {
        var scan = new StrayScan(machine, Spread.WithSpot(20), machine.Blanker.LeaksFog ? Onset : 1e-4);
        scan.Begin(Header);
        scan.Write(records);
        scan.End();
        return scan.ToReport();
    }
}
