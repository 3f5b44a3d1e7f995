using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Tests.Prediction.Simulation;

public class ExposureReplayTests
{
    private static readonly RecordsHeader Header = new(
        "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e6, 1, 1_000_000, 10, 10, false);

    private static readonly DeflectionRecord[] TwoDots =
    [
        DeflectionRecord.Jump(32768, 32768, 100), DeflectionRecord.Dot(32768, 32768, 50),
        DeflectionRecord.Jump(33768, 32768, 100), DeflectionRecord.Dot(33768, 32768, 50),
    ];

    [Fact]
    public void A_perfect_blanker_deposits_exactly_what_the_records_expose()
    {
        ChargeMap map = Replay(new SettleModel(0, 0, 0), new Blanker(true, true, 0, 0, 0), TwoDots);
        Assert.Equal(100e-6 * 1e-12, map.TotalCoulombs, 1e-24);
        Assert.Equal(map.TotalCoulombs, Sum(map), 1e-6 * map.TotalCoulombs);
        Assert.Equal(0, ChargeBetween(map, 100, 9900));
    }

    [Fact]
    public void A_late_blanker_draws_a_tail_along_the_jump_and_cuts_the_head_of_the_exposure()
    {
        ChargeMap map = Replay(new SettleModel(0, 20e-6, 0), new Blanker(true, true, 8e-6, 3e-6, 0), TwoDots);

        // Two exposures of 50 µs lose 3 µs at the head and gain 8 µs at the tail.
        Assert.Equal(2 * 55e-6 * 1e-12, map.TotalCoulombs, 1e-22);

        // In 8 µs the beam comes 10 µm·(1 − exp(−0.4)) far.
        double reach = 10_000 * (1 - Math.Exp(-0.4));
        Assert.True(ChargeBetween(map, 0.5 * reach, 0.95 * reach) > 0);
        Assert.Equal(0, ChargeBetween(map, reach + 20, 9500));
    }

    [Fact]
    public void A_leak_exposes_during_jumps_and_waits()
    {
        ChargeMap map = Replay(
            new SettleModel(0, 0, 0), new Blanker(true, true, 0, 0, 0.01), [.. TwoDots, DeflectionRecord.Wait(1000)]);
        Assert.Equal((100 + 0.01 * 1200) * 1e-6 * 1e-12, map.TotalCoulombs, 1e-24);
    }

    [Fact]
    public void Without_a_blanker_the_beam_is_always_on()
    {
        ChargeMap map = Replay(new SettleModel(0, 10e-6, 0), new Blanker(false, true, 0, 0, 0), TwoDots);
        Assert.Equal(300e-6 * 1e-12, map.TotalCoulombs, 1e-22);
        Assert.True(ChargeBetween(map, 2000, 8000) > 0);
    }

    [Fact]
    public void A_pulse_shorter_than_the_delays_may_not_happen()
    {
        // Off for 2 µs with 5 µs until it works, on within 1 µs: the beam never goes off.
        ChargeMap map = Replay(
            new SettleModel(0, 0, 0),
            new Blanker(true, true, 5e-6, 1e-6, 0),
            [DeflectionRecord.Jump(32768, 32768, 100), DeflectionRecord.Dot(32768, 32768, 50), DeflectionRecord.Jump(33768, 32768, 2), DeflectionRecord.Dot(33768, 32768, 50)]);
        Assert.Equal((49 + 2 + 50 + 5) * 1e-6 * 1e-12, map.TotalCoulombs, 1e-22);
    }

    [Fact]
    public void A_slew_limit_spreads_a_leak_evenly_along_the_way()
    {
        // 10 µm in 50 µs at a limit of 0.2 µm/µs, beam always on.
        ChargeMap map = Replay(new SettleModel(0, 0, 0.2e9), new Blanker(false, true, 0, 0, 0), TwoDots);
        Assert.Equal(10e-6 * 1e-12, ChargeBetween(map, 2000, 4000), 0.1e-18);
        Assert.Equal(10e-6 * 1e-12, ChargeBetween(map, 6000, 8000), 0.1e-18);
    }

    [Fact]
    public void Pixels_too_large_for_the_beam_are_refused_with_a_remedy()
    {
        var map = new ChargeMap(5);
        CompileException fault = Assert.Throws<CompileException>(() =>
            new EnergyField(map, SpreadFunction.TwoGaussian(2, 2000, 0.5), 3));
        Assert.Equal(
            "error PC3021: pixels of 5 nm are too large for a beam and forward scattering of 1.9 nm standard deviation; use pixels of 1.9 nm or less",
            fault.Message);
    }

    // The dots begin after 100 and 250 us, when a third and five sixths of the change are over.
    [Fact]
    public void A_drifting_current_deposits_what_it_is_at_each_time()
    {
        ChargeMap map = Replay(new SettleModel(0, 0, 0), new Blanker(true, true, 0, 0, 0), TwoDots, new CurrentReading(300e-6, 2e-12));
        Assert.Equal(50e-6 * 1e-12 * (1 + 1 / 3.0 + 1 + 5 / 6.0), map.TotalCoulombs, 1e-24);
    }

    private static ChargeMap Replay(SettleModel settle, Blanker blanker, ReadOnlySpan<DeflectionRecord> records, CurrentReading? later = null)
    {
        var map = new ChargeMap(10);
        var machine = new Machine(
            "m", Header.Dac, new Deflection(655_360, 655_360, false, false, false, AffineCalibration.Identity), settle,
            new Clock(1e6, 1, 1_000_000), blanker, new Beam(1e-12, 20, 30_000) { Later = later }, new Link(1e6, 4096, true));
        var replay = new ExposureReplay(machine, map);
        replay.Begin(Header);
        replay.Write(records);
        replay.End();
        return map;
    }

    private static double Sum(ChargeMap map) => ChargeBetween(map, double.NegativeInfinity, double.PositiveInfinity);

    private static double ChargeBetween(ChargeMap map, double left, double right)
    {
        double sum = 0;
        foreach ((int column, int row) in map.TilePlaces)
        {
            float[] tile = map.Tile((column, row))!.Pixels();
            for (int i = 0; i < tile.Length; i++)
            {
                double x = (column * ChargeMap.TileSide + i % ChargeMap.TileSide + 0.5) * map.PixelNanometres;
                sum += x > left && x < right ? tile[i] * map.PixelNanometres * map.PixelNanometres * 1e-18 : 0;
            }
        }

        return sum;
    }
}
