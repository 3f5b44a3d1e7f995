using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Oracles.Prediction;

public class EstimateOracleTests
{
    /// <summary>
    /// T = D·A/I (M. A. McCord, M. J. Rooks, ch. 2 of the SPIE Handbook of Microlithography, Micromachining and
    /// Microfabrication, vol. 1, 1997; formula from memory): a 100 µm field filled to 10% at 300 µC/cm² with 100 pA takes 30 s.
    /// </summary>
    [Fact]
    public void A_tenth_of_a_field_takes_thirty_seconds()
    {
        // 1000 µm² in 10 nm steps: 10,000,000 points of 3 µs, the dwell of 300 µC/cm² at 100 pA.
        var records = Enumerable.Range(0, 1000).Select(i => DeflectionRecord.Line(0, i, 9999, i, 10_000, 10_000 * 30));
        ExposureEstimate e = Estimate(16, 100_000, 100e-12, 10e6, records);
        Assert.Equal(30, e.ExposingSeconds, 1e-9);
        Assert.Equal(3e-9, e.ChargeCoulombs, 1e-18);
    }

    /// <summary>
    /// Position steps of a 100 µm field and their quantisation error, LSB/√12 (W. R. Bennett, Bell Syst. Tech. J. 27, 446
    /// (1948)); computed from the definitions.
    /// </summary>
    [Theory]
    [InlineData(12, 24.414, 7.0477)]
    [InlineData(14, 6.1035, 1.7619)]
    [InlineData(16, 1.5259, 0.4405)]
    [InlineData(18, 0.3815, 0.1101)]
    [InlineData(20, 0.0954, 0.0275)]
    public void Steps_and_rounding_of_a_field(int bits, double step, double deviation)
    {
        ExposureEstimate e = Estimate(bits, 100_000, 1e-12, 1e6, [DeflectionRecord.Dot(1, 1, 100)]);
        Assert.Equal(step, e.StepXNanometres, 1e-4);
        Assert.Equal(deviation, e.PositionDeviationNanometres, 1e-4);
    }

    /// <summary>
    /// Poisson statistics, N = D·A/e with e of the SI of 2019. The last row is a textbook exercise (156 electrons, 3σ of
    /// 24%; H. J. Levinson, Principles of Lithography, SPIE).
    /// </summary>
    [Theory]
    [InlineData(100, 10, 624.151, 0.04003)]
    [InlineData(10, 10, 62.415, 0.1266)]
    [InlineData(300, 10, 1872.45, 0.02311)]
    [InlineData(1000, 10, 6241.5, 0.01266)]
    [InlineData(100, 5, 156.04, 0.08005)]
    [InlineData(1, 50, 156.04, 0.08)]
    public void Electrons_of_small_areas(double microcoulombsPerSquareCentimetre, double sideNanometres, double electrons, double noise)
    {
        // 1 µC/cm² on 1 nm² is 1e-20 C; at 1 pA that is 10 ns.
        double charge = microcoulombsPerSquareCentimetre * sideNanometres * sideNanometres * 1e-20;
        long ticks = (long)Math.Round(charge / 1e-12 * 1e9);
        ExposureEstimate e = Estimate(16, 100_000, 1e-12, 1e9, [DeflectionRecord.Dot(1, 1, ticks)]);
        Assert.Equal(electrons, e.FewestElectrons, electrons * 1e-4);
        Assert.Equal(noise, e.ShotNoise, noise * 1e-3);
    }

    /// <summary>
    /// Poisson summation: points at pitch h under exp(−x²/a²) ripple by 2·exp(−(π·a/h)²) about their mean: 1.0e-4 at
    /// h = a, 0.170 at h = 2a; a = √2·σ.
    /// </summary>
    [Theory]
    [InlineData(1, 1.03e-4, 0.01e-4)]
    [InlineData(2, 0.1696, 0.0002)]
    public void Ripple_of_dot_arrays(double pitchOverRange, double ripple, double within)
    {
        double deviation = 1 / Math.Sqrt(2);
        Assert.Equal(ripple, EvenLines.Ripple(deviation, pitchOverRange), within);
    }

    private static ExposureEstimate Estimate(
        int bits, double field, double current, double clock, IEnumerable<DeflectionRecord> records)
    {
        var dac = new Dac(bits, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode);
        var machine = new Machine(
            "m", dac, new Deflection(field, field, false, false, false, AffineCalibration.Identity), new SettleModel(0, 0, 0),
            new Clock(clock, 1, long.MaxValue), new Blanker(true, true, 0, 0, 0), new Beam(current, 10, 30_000), new Link(1e9, 1 << 20, true));
        var estimator = new Estimator(machine);
        estimator.Begin(new RecordsHeader("m", dac, clock, 1, long.MaxValue, field / dac.CodeCount, field / dac.CodeCount, false));
        estimator.Write(records.ToArray());
        estimator.End();
        return estimator.ToEstimate();
    }
}
