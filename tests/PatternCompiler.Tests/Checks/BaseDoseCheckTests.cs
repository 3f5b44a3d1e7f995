using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Checks;

public class BaseDoseCheckTests
{
    private static readonly Beam Beam = new(1e-10, 20, 30_000);

    // Half of the energy at the edge, for any spread: by symmetry.
    [Fact]
    public void A_large_area_edge_receives_half()
    {
        var spread = new SpreadFunction([new(SpreadShape.Gaussian, 59, 1), new(SpreadShape.Gaussian, 4000, 0.74), new(SpreadShape.Exponential, 900, 0.2)]);
        Assert.Equal(0.5, LargeAreaEdge.EnergyAt(spread, 0), 12);
        Assert.Equal(1, LargeAreaEdge.EnergyAt(spread, 200) + LargeAreaEdge.EnergyAt(spread, -200), 12);
        Assert.Equal(0, LargeAreaEdge.ShiftNanometres(spread, 0.5)!.Value, 6);
        Assert.Null(LargeAreaEdge.ShiftNanometres(spread, 1));
    }

    // One Gaussian of 1/e radius a: erfc(x/a)/2 = 0.25 at x = 0.476936 a (Abramowitz and Stegun, table 7.1: erf 0.4769 = 0.5).
    [Fact]
    public void One_gaussian_gives_the_tabulated_place() =>
        Assert.Equal(47.6936, LargeAreaEdge.ShiftNanometres(new SpreadFunction([new(SpreadShape.Gaussian, 100, 1)]), 0.25)!.Value, 3);

    [Fact]
    public void The_built_in_process_prints_edges_where_they_are_drawn() => Assert.Empty(Warnings(DefaultFiles.Process));

    // Places from scipy.special.erfc and scipy.optimize.brentq for the built-in spread and a spot of 20 nm.
    [Theory]
    [InlineData(ResistTone.Positive, 1.1, "warning PC1671: the edges of large areas print 2.24 um inside of where they are drawn: they receive half of the base dose of 165 uC/cm2, and a positive resist is gone from 150 uC/cm2 on; a base dose ('dose.area') of 300 uC/cm2 prints them where they are drawn, one from 258 uC/cm2 to 357 uC/cm2 within 15.1 nm; or have doses corrected ('correct' in the job)")]
    [InlineData(ResistTone.Positive, 0.9, "warning PC1671: nothing of large areas prints at the base dose of 135 uC/cm2: a positive resist is gone from 150 uC/cm2 on; a base dose")]
    [InlineData(ResistTone.Positive, 3, "warning PC1671: the edges of large areas print 33.8 nm outside of where they are drawn: they receive half of the base dose of 450 uC/cm2")]
    [InlineData(ResistTone.Negative, 3, "warning PC1671: the edges of large areas print 33.8 nm outside of where they are drawn: they receive half of the base dose of 367 uC/cm2, and half of a negative resist remains from 122 uC/cm2 on; a base dose ('dose.area') of 245 uC/cm2 prints")]
    public void Other_base_doses_are_told_with_where_edges_land(ResistTone tone, double times, string expected)
    {
        Resist process = DefaultFiles.Process with { Response = DefaultFiles.Process.Response with { Tone = tone } };
        process = process with { AreaDoseCoulombsPerSquareMetre = times * process.Response.PrintingCoulombsPerSquareMetre };
        Assert.StartsWith(expected, Assert.Single(Warnings(process)).ToString(), StringComparison.Ordinal);
    }

    // Within a quarter of the radius there is nothing to tell, and just outside there is.
    [Theory]
    [InlineData(258.5, 0)]
    [InlineData(258.4, 1)]
    [InlineData(357.4, 0)]
    [InlineData(357.5, 1)]
    public void The_range_that_is_told_is_the_range_that_is_kept(double dose, int warnings) =>
        Assert.Equal(warnings, Warnings(DefaultFiles.Process with { AreaDoseCoulombsPerSquareMetre = dose / 100 }).Count);

    [Fact]
    public void A_layers_own_base_dose_is_told_with_its_key()
    {
        var sink = new DiagnosticSink();
        BaseDoseCheck.Run(DefaultFiles.Process with { AreaDoseCoulombsPerSquareMetre = 1.35 }, "pads", Beam, sink);
        Assert.Equal(
            "warning PC1671: nothing of large areas on layer 'pads' prints at the base dose of 135 uC/cm2: a positive resist is gone from 150 uC/cm2 on; "
            + "a base dose ('area_dose') of 300 uC/cm2 prints them where they are drawn, one from 258 uC/cm2 to 357 uC/cm2 within 15.1 nm; "
            + "or have doses corrected ('correct' in the job)",
            Assert.Single(sink.Collected).ToString());
    }

    private static IReadOnlyList<Diagnostic> Warnings(Resist process)
    {
        var sink = new DiagnosticSink();
        BaseDoseCheck.Run(process, null, Beam, sink);
        return sink.Collected;
    }
}
