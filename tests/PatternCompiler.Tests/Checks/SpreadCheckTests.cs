using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Checks;

public class SpreadCheckTests
{
    private static Substrate Silicon => Substrate.Known.First(known => known.Name == "silicon");

    [Fact]
    public void Published_spreads_suit_their_energies()
    {
        foreach (PublishedSpread published in PublishedSpread.Table)
        {
            Assert.Empty(Warnings(published.Spread.Terms[1].RangeNanometres, Silicon, 1000 * published.EnergyKiloelectronvolts));
        }

        var sink = new DiagnosticSink();
        SpreadCheck.Run(DefaultFiles.Process, 30_000, sink);
        Assert.Empty(sink.Collected);
    }

    [Fact]
    public void A_range_of_another_energy_is_told_with_numbers()
    {
        var sink = new DiagnosticSink();
        SpreadCheck.Run(DefaultFiles.Process, 10_000, sink);
        Assert.Equal(
            "warning PC1606: a backscattered range of 4 um does not suit 10 keV on silicon, where electrons reach 1.49 um: 371 nm to 1.11 um would; "
            + "check 'spread.backscatter' (a 1/e radius) and 'substrate' of the process and 'beam.energy' of the machine",
            Assert.Single(sink.Collected).ToString());
        Assert.Single(Warnings(2000, Substrate.Known.First(known => known.Name == "gold"), 30_000));
    }

    // A quarter to three quarters of the electrons' range, on each substrate and at each energy.
    [Theory]
    [InlineData(0.24, true)]
    [InlineData(0.26, false)]
    [InlineData(0.74, false)]
    [InlineData(0.76, true)]
    public void A_range_is_held_against_both_ends(double part, bool isTold)
    {
        foreach (Substrate substrate in Substrate.Known)
        {
            foreach (double energy in new[] { 10.0, 30, 100 })
            {
                Assert.Equal(isTold ? 1 : 0, Warnings(part * substrate.RangeNanometres(energy), substrate, 1000 * energy).Count);
            }
        }
    }

    [Fact]
    public void The_widest_gaussian_counts_and_no_tail()
    {
        var sink = new DiagnosticSink();
        SpreadFunction spread = DefaultFiles.Process.Spread!;
        SpreadCheck.Run(DefaultFiles.Process with { Spread = new SpreadFunction([.. spread.Terms, new SpreadTerm(SpreadShape.Exponential, 1e6, 0.1), new SpreadTerm(SpreadShape.Gaussian, 300, 0.1)]) }, 30_000, sink);
        Assert.Empty(sink.Collected);
        SpreadCheck.Run(DefaultFiles.Process with { Spread = new SpreadFunction([.. spread.Terms, new SpreadTerm(SpreadShape.Gaussian, 1e6, 0.1)]) }, 30_000, sink);
        Assert.Single(sink.Collected);
    }

    [Fact]
    public void Without_a_substrate_there_is_nothing_to_hold_it_against()
    {
        var sink = new DiagnosticSink();
        SpreadCheck.Run(DefaultFiles.Process with { Substrate = null }, 1_000, sink);
        SpreadCheck.Run(DefaultFiles.Process with { Spread = null }, 1_000, sink);
        Assert.Empty(sink.Collected);
    }

    private static IReadOnlyList<Diagnostic> Warnings(double range, Substrate substrate, double energy)
    {
        var sink = new DiagnosticSink();
        SpreadCheck.Run(range, substrate, energy, sink);
        return sink.Collected;
    }
}
