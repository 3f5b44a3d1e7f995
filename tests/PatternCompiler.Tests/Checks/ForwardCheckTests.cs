using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Checks;

public class ForwardCheckTests
{
    private const string Dose = "process: p\ndose: {area: 300 uC/cm2, line: 1.5 nC/cm, dot: 20 fC}\n";

    // 0.9·(t/V)^1.5, where the root is a whole number.
    [Theory]
    [InlineData(30, 30, 0.9)]
    [InlineData(500, 20, 112.5)]
    [InlineData(120, 30, 7.2)]
    [InlineData(900, 100, 24.3)]
    public void The_range_follows_from_thickness_and_energy(double thickness, double kiloelectronvolts, double range)
    {
        Assert.Equal(range, ForwardScattering.RangeNanometres(thickness, 1000 * kiloelectronvolts), 1e-9);
        Resist process = Parse($"resist: {{contrast: 5, clearing: 150 uC/cm2, thickness: {thickness} nm}}\nspread: {{backscatter: 4 um, ratio: 0.74}}\n");
        Assert.True(process.IsForwardDerived);
        Machine machine = DefaultFiles.Machine with { Beam = DefaultFiles.Machine.Beam with { EnergyElectronvolts = 1000 * kiloelectronvolts } };
        SpreadFunction spread = new BuildSettings(DefaultFiles.Job, machine, process).Process.Spread!;
        Assert.Equal([range, 4000], spread.Terms.Select(term => Math.Round(term.RangeNanometres, 9)));
        Assert.Equal(0.74, spread.Terms[1].Ratio);
    }

    // M. A. McCord and M. J. Rooks (1997), ch. 2, from memory: the ranges of half a micrometre on silicon.
    [Fact]
    public void Published_ranges_suit_half_a_micrometre()
    {
        foreach (PublishedSpread published in PublishedSpread.Table)
        {
            Assert.Empty(Warnings(published.Spread.Terms[0].RangeNanometres, 500, published.EnergyKiloelectronvolts));
        }

        Assert.Empty(Warnings(DefaultFiles.Process.Spread!.Terms[0].RangeNanometres, 500, 30));
    }

    [Fact]
    public void A_range_of_another_film_is_told_with_both() => Assert.Equal(
        "warning PC1643: a forward range of 59 nm does not suit 200 nm of resist at 30 keV: about 15.5 nm would, 7.75 nm to 31 nm at most; "
        + "check 'spread.forward' (a 1/e radius without the spot) and 'resist.thickness' of the process and 'beam.energy' of the machine; without 'spread.forward' it follows from the other two",
        Assert.Single(Warnings(59, 200, 30)));

    [Theory]
    [InlineData(0.49, 1)]
    [InlineData(0.51, 0)]
    [InlineData(1.99, 0)]
    [InlineData(2.01, 1)]
    public void A_range_is_held_against_both_ends(double part, int told) => Assert.Equal(told, Warnings(112.5 * part, 500, 20).Length);

    [Fact]
    public void What_is_not_stated_is_not_judged()
    {
        var sink = new DiagnosticSink();
        ForwardCheck.Run(DefaultFiles.Process, 1000, sink);
        ForwardCheck.Run(Parse("resist: {contrast: 5, clearing: 150 uC/cm2, thickness: 200 nm}\nspread: {backscatter: 4 um, ratio: 0.74}\n").WrittenAt(30_000), 1000, sink);
        Assert.Empty(sink.Collected);
    }

    [Fact]
    public void A_spread_needs_a_forward_range_or_a_thickness() => Assert.Equal(
        "p.yaml:4:9: error PC0113: 'spread' has no 'forward', and 'resist' no 'thickness' from which it would follow; write 'forward' as measured, or the thickness of the resist\n    spread: {backscatter: 4 um, ratio: 0.74}\n            ^",
        Assert.Throws<CompileException>(() => Parse("resist: {contrast: 5, clearing: 150 uC/cm2}\nspread: {backscatter: 4 um, ratio: 0.74}\n")).Message);

    [Fact]
    public void A_film_too_thick_for_the_beam_is_refused()
    {
        Resist process = Parse("resist: {contrast: 5, clearing: 150 uC/cm2, thickness: 2 um}\nspread: {backscatter: 200 nm, ratio: 0.74}\n");
        CompileException fault = Assert.Throws<CompileException>(() => process.WrittenAt(5000));
        Assert.Equal(JobCodes.ValueOutOfRange, fault.Diagnostic.Code);
        Assert.Equal(
            "'resist.thickness' of 2 um at 5 keV gives a forward range of 7.2 um, which must be the smallest range of 'spread'; state 'spread.forward' as measured, or correct 'resist.thickness' of the process or 'beam.energy' of the machine",
            $"{fault.Diagnostic.Message}; {fault.Diagnostic.Fix}");
    }

    // Whatever is set last: batches set machine and process one after the other.
    [Fact]
    public void The_range_is_that_of_the_machine_that_writes()
    {
        Machine Beam(double electronvolts) => DefaultFiles.Machine with { Beam = DefaultFiles.Machine.Beam with { EnergyElectronvolts = electronvolts } };
        var settings = new BuildSettings(DefaultFiles.Job, Beam(30_000), DefaultFiles.Process);
        settings = settings with { Process = Parse("resist: {contrast: 5, clearing: 150 uC/cm2, thickness: 500 nm}\nspread: {backscatter: 4 um, ratio: 0.74}\n") };
        Assert.Equal(61.24, settings.Process.Spread!.Terms[0].RangeNanometres, 0.01);
        Assert.Equal(28.46, (settings with { Machine = Beam(50_000) }).Process.Spread!.Terms[0].RangeNanometres, 0.01);
    }

    private static Resist Parse(string text) => ProcessFile.Parse(Dose + text, "p.yaml");

    private static string[] Warnings(double forward, double thickness, double kiloelectronvolts)
    {
        var sink = new DiagnosticSink();
        Resist process = DefaultFiles.Process;
        ForwardCheck.Run(
            process with { Spread = SpreadFunction.TwoGaussian(forward, 40_000, 0.74), Response = process.Response with { ThicknessNanometres = thickness } }, 1000 * kiloelectronvolts, sink);
        return [.. sink.Collected.Select(told => told.ToString())];
    }
}
