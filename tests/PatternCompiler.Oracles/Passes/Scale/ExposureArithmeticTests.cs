using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Oracles.Passes.Scale;

/// <summary>
/// Worked examples from the definitions of dose in M. A. McCord, M. J. Rooks, ch. 2 of the SPIE Handbook of
/// Microlithography, Micromachining and Microfabrication, vol. 1, 1997 (relations from memory, figures worked by hand).
/// </summary>
public sealed class ExposureArithmeticTests
{
    private const double MicrocoulombPerSquareCentimetre = 0.01;

    [Theory]
    [InlineData(200, 10, 100, 2.000)]
    [InlineData(300, 20, 1000, 1.200)]
    public void Area_dwell(double dose, double step, double picoamperes, double microseconds) => Assert.Equal(
        microseconds,
        1e6 * ExposureArithmetic.AreaDwellSeconds(dose * MicrocoulombPerSquareCentimetre, step * 1e-9, step * 1e-9, picoamperes * 1e-12),
        10);

    [Fact]
    public void Line_dwell_of_1_nC_per_cm_at_10_nm_and_50_pA() =>
        Assert.Equal(20.0, 1e6 * ExposureArithmetic.LineDwellSeconds(1e-7, 10e-9, 50e-12), 10);

    [Fact]
    public void Dot_dwell_of_1_fC_at_20_pA() =>
        Assert.Equal(50.0, 1e6 * ExposureArithmetic.DotDwellSeconds(1e-15, 20e-12), 10);

    [Fact]
    public void Largest_current_at_300_uC_per_cm2_10_nm_and_1_MHz_is_300_pA() => Assert.Equal(
        300, 1e12 * ExposureArithmetic.LargestCurrentAmperes(300 * MicrocoulombPerSquareCentimetre, 10e-9, 10e-9, 1e-6), 9);

    [Fact]
    public void A_tenth_of_a_field_of_100_um_takes_30_s() =>
        Assert.Equal(30, ExposureArithmetic.ExposureSeconds(300 * MicrocoulombPerSquareCentimetre, 0.1 * 1e-8, 100e-12), 9);

    [Fact]
    public void A_square_centimetre_at_1_mC_per_cm2_and_1_nA_takes_a_million_seconds() =>
        Assert.Equal(1e6, ExposureArithmetic.ExposureSeconds(1000 * MicrocoulombPerSquareCentimetre, 1e-4, 1e-9), 6);

    // Electrons per area: N = D·A/e with the elementary charge of the SI of 2019. The last row is a textbook exercise
    // (156 electrons, three standard deviations are 24 %), believed to be H. J. Levinson, Principles of Lithography.
    [Theory]
    [InlineData(100, 10, 624.151, 0.04003)]
    [InlineData(10, 10, 62.415, 0.1266)]
    [InlineData(300, 10, 1872.45, 0.02311)]
    [InlineData(1000, 10, 6241.5, 0.01266)]
    [InlineData(1, 50, 156.04, 0.08005)]
    public void Electrons_and_shot_noise(double dose, double nanometres, double electrons, double sigma)
    {
        double area = nanometres * nanometres * 1e-18;
        Assert.Equal(electrons, ExposureArithmetic.Electrons(dose * MicrocoulombPerSquareCentimetre, area), 1e-4 * electrons);
        Assert.Equal(sigma, ExposureArithmetic.ShotNoise(dose * MicrocoulombPerSquareCentimetre, area), 1e-3 * sigma);
    }
}
