using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Instrument;

/// <summary>Parts of a machine and a resist whose definition is one formula, at values worked out by hand.</summary>
public sealed class MachinePartsTests
{
    [Theory]
    [InlineData(false, false, 1100, -2300)]
    [InlineData(true, false, 900, -2300)]
    [InlineData(false, true, 1100, -1700)]
    [InlineData(true, true, 900, -1700)]
    public void A_stage_reads_what_its_axes_say(bool invertX, bool invertY, double x, double y) =>
        Assert.Equal((x, y), new Stage(1, 1) { OriginNanometres = (1000, -2000), InvertX = invertX, InvertY = invertY }.ReadingAt(100, -300));

    [Theory]
    [InlineData(0, 0, 0)]
    [InlineData(500, -1000, 13)]
    [InlineData(-2000, 500, 23)]
    public void A_stage_moves_both_axes_together_and_then_settles(double x, double y, double seconds) => Assert.Equal(seconds, new Stage(100, 3).MoveSeconds(x, y), 1e-12);

    [Fact]
    public void A_stage_has_a_range_in_each_axis()
    {
        Stage stage = new(1, 1) { RangeXNanometres = (-5, 10), RangeYNanometres = (-20, 3) };
        Assert.All(new[] { (-5.0, -20.0), (10.0, 3.0), (0.0, 0.0) }, reading => Assert.True(stage.Reaches(reading)));
        Assert.All(new[] { (-5.1, 0.0), (10.1, 0.0), (0.0, -20.1), (0.0, 3.1) }, reading => Assert.False(stage.Reaches(reading)));
        Assert.True(new Stage(1, 1) { RangeXNanometres = (-5, 10) }.Reaches((0, 1e9)));
        Assert.True(new Stage(1, 1) { RangeYNanometres = (-5, 10) }.Reaches((-1e9, 0)));
    }

    [Theory]
    [InlineData(DacFullScale.OneBeyondLastCode, 15.0 / 256)]
    [InlineData(DacFullScale.LastCode, 15.0 / 255)]
    public void A_converter_divides_its_range(DacFullScale fullScale, double lsb)
    {
        var dac = new Dac(8, -5, 10, DacCoding.Straight, fullScale);
        Assert.Equal((256, 0), (dac.CodeCount, dac.CodingMask));
        Assert.Equal(lsb, dac.LsbVolts, 1e-12);
        Assert.Equal(-5 + 7 * lsb, dac.VoltsOf(7), 1e-12);
        Assert.Equal((0, 128), ((dac with { Coding = DacCoding.OffsetBinary }).CodingMask, (dac with { Coding = DacCoding.TwosComplement }).CodingMask));
    }

    [Theory]
    [InlineData(7, 16, 4.5)]
    [InlineData(-3, -9, -0.5)]
    public void Codes_stand_evenly_along_an_axis(long number, long position, double place)
    {
        var axis = new CodeAxis(-1.5, 2.5);
        Assert.Equal(position, axis.PositionOf(number));
        Assert.Equal(place, axis.NumberAt(place * 2.5 - 1.5), 1e-12);
    }

    // A tenfold dose from onset to clearing is a contrast of 1; half of the way in log10 is √10.
    [Theory]
    [InlineData(ResistTone.Positive, 0.5, 1)]
    [InlineData(ResistTone.Positive, 1, 1)]
    [InlineData(ResistTone.Positive, 3.1622776601683795, 0.5)]
    [InlineData(ResistTone.Positive, 10, 0)]
    [InlineData(ResistTone.Positive, 20, 0)]
    [InlineData(ResistTone.Negative, 0.5, 0)]
    [InlineData(ResistTone.Negative, 3.1622776601683795, 0.5)]
    [InlineData(ResistTone.Negative, 20, 1)]
    public void A_resist_thins_or_stays_with_the_logarithm_of_the_dose(ResistTone tone, double dose, double remaining)
    {
        Assert.Equal(remaining, new ResistResponse(tone, 1, 10).RemainingFraction(dose), 1e-12);
        Assert.Equal(1, new ResistResponse(tone, 1, 10).Contrast, 1e-12);
        Assert.Equal(0.5, new ResistResponse(tone, 1, 100).Contrast, 1e-12);
    }

    // 1 nA at 1 µm/µs leaves 1e-9 C/m; over σ·√(2π) with σ = 100 nm that is 3.9894e-3 C/m². At twice the peak's e-th part √2·σ to either side.
    [Fact]
    public void A_track_has_the_peak_of_its_gaussian_and_prints_as_wide_as_it_is_above_the_onset()
    {
        double peak = 1e-9 / (100e-9 * Math.Sqrt(2 * Math.PI));
        Assert.Equal(1, StrayDose.PeakOfTrack(1e-9, 1e9, 100) / peak, 1e-12);
        Assert.Equal(1, StrayDose.PeakOfPiece(5e-17, 50, 100) / peak, 1e-12);
        Assert.Equal(2 * 100 * Math.Sqrt(2), StrayDose.PrintedWidth(Math.E * 7, 7, 100), 1e-9);
        Assert.Equal(0, StrayDose.PrintedWidth(7, 7, 100));
        Assert.Equal(0, StrayDose.PrintedWidth(6.9, 7, 100));
    }

    [Theory]
    [InlineData(0, 100)]
    [InlineData(1800, 97.5)]
    [InlineData(3600, 95)]
    [InlineData(1e6, 95)]
    [InlineData(-5, 100)]
    public void A_current_drifts_to_its_second_reading_and_stays(double seconds, double picoamperes) =>
        Assert.Equal(picoamperes, new Beam(100, 20, 30_000) { Later = new CurrentReading(3600, 95) }.CurrentAt(seconds), 1e-12);

    /// <summary>From 100 pA to 200 pA in 10 s: areas of trapezoids, and what an even current brings.</summary>
    [Theory]
    [InlineData(true, 0, 10, 1500)]
    [InlineData(true, 2, 6, 560)]
    [InlineData(true, 8, 13, 980)]
    [InlineData(true, 12, 15, 600)]
    [InlineData(true, 10, 11, 200)]
    [InlineData(false, 2, 5, 300)]
    [InlineData(false, 0, 7, 700)]
    public void A_charge_takes_the_time_in_which_the_beam_brings_it(bool drifts, double from, double to, double picocoulombs)
    {
        var beam = new Beam(100, 20, 30_000) { Later = drifts ? new CurrentReading(10, 200) : null };
        Assert.Equal(picocoulombs, beam.ChargeCoulombs(from, to), 1e-9);
        Assert.Equal(to - from, beam.SecondsFor(picocoulombs, from), 1e-12);
    }

    [Fact]
    public void A_falling_current_takes_longer()
    {
        // 100 pA to 50 pA in 10 s, then 50 pA: 750 pC in the first ten seconds, and from 4 s on 80, 75, 70 ... pA.
        var beam = new Beam(100, 20, 30_000) { Later = new CurrentReading(10, 50) };
        Assert.Equal(750, beam.ChargeCoulombs(0, 10), 1e-9);
        Assert.Equal(2, beam.SecondsFor(150, 4), 1e-12);
        Assert.Equal(12, beam.SecondsFor(850, 0), 1e-12);
    }

    // Between tabulated energies a power law through the two: at √(20·50) keV the geometric means of their ranges.
    [Theory]
    [InlineData(20, 120, 2000, false)]
    [InlineData(50, 24, 9500, false)]
    [InlineData(100, 7, 31200, false)]
    [InlineData(31.622776601683793, 53.66563145999495, 4358.898943540674, true)]
    [InlineData(70.71067811865476, 12.96148139681572, 17216.271373325875, true)]
    [InlineData(15, 199.0, 1226.0, true)]
    public void A_published_spread_is_interpolated_by_a_power_of_the_energy(double energy, double forward, double backscatter, bool isInterpolated)
    {
        PublishedSpread spread = PublishedSpread.For(energy)!;
        double allowed = energy == 15 ? 0.005 : 1e-9;
        Assert.Equal((isInterpolated, 0.74), (spread.IsInterpolated, spread.Spread.Terms[1].Ratio));
        Assert.Equal(1, spread.Spread.Terms[0].RangeNanometres / forward, allowed);
        Assert.Equal(1, spread.Spread.Terms[1].RangeNanometres / backscatter, allowed);
        Assert.Null(PublishedSpread.For(14.9));
        Assert.Null(PublishedSpread.For(100.1));
        Assert.Null(PublishedSpread.For(double.NaN));
    }

    /// <summary>Energy within a radius: of exp(−r)/(2π) it is 1 − (1 + r)·exp(−r), of each Gaussian 1 − exp(−r²/R²).</summary>
    [Fact]
    public void Gaussians_together_hold_the_energy_of_an_exponential()
    {
        var parts = GaussianMixture.Of(SpreadShape.Exponential);
        Assert.Equal(1, parts.Sum(p => p.Part), 1e-12);
        for (double r = 0.05; r < 12; r += 0.05)
        {
            Assert.Equal(1 - (1 + r) * Math.Exp(-r), parts.Sum(p => p.Part * (1 - Math.Exp(-r * r / (p.Radius * p.Radius)))), 0.001);
        }

        Assert.Equal((1.0, 1.0), Assert.Single(GaussianMixture.Of(SpreadShape.Gaussian)));
    }

    [Fact]
    public void A_spot_widens_gaussians_and_leaves_tails_alone()
    {
        var spread = new SpreadFunction([new(SpreadShape.Gaussian, 30, 1), new(SpreadShape.Exponential, 500, 0.25), new(SpreadShape.Gaussian, 4000, 0.75)]);
        SpreadFunction wide = spread.WithSpot(40 * SpreadFunction.HalfMaximumWidthPerRange);
        Assert.Equal(50, wide.Terms[0].RangeNanometres, 1e-9);
        Assert.Equal(500, wide.Terms[1].RangeNanometres);
        Assert.Equal(Math.Sqrt(4000 * 4000 + 1600), wide.Terms[2].RangeNanometres, 1e-9);
        Assert.Equal((2.0, 0.5, 0.125, 0.375), (spread.TotalRatio, spread.WeightOf(0), spread.WeightOf(1), spread.WeightOf(2)));

        // exp(−r²/R²) is a half at r = R·√ln 2 to either side.
        Assert.Equal(SpreadFunction.HalfMaximumWidthPerRange, 2 * Math.Sqrt(Math.Log(2)), 1e-12);
    }
}
