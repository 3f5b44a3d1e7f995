using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Oracles.Prediction;

/// <summary>
/// The track model against the simulation, which deposits charge step by step in time and spreads it: two ways to the same
/// dose.
/// </summary>
public class StrayOracleTests
{
    private const double Deviation = 20;
    private static readonly RecordsHeader Header = new(
        "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e7, 1, 1_000_000, 5, 5, false);

    [Theory]
    [InlineData(0, 1e8)]
    [InlineData(2e-6, 0)]
    public void A_leaking_beam_draws_what_the_model_says(double tau, double slew)
    {
        Machine machine = MachineWith(new SettleModel(0, tau, slew), new Blanker(true, true, 0, 0, 0.2));
        var map = new ChargeMap(5);
        var replay = new ExposureReplay(machine, map);
        replay.Begin(Header);
        replay.Write(
        [
            DeflectionRecord.Jump(32768, 32768, 10), DeflectionRecord.Dot(32768, 32768, 1),
            DeflectionRecord.Jump(33768, 32768, 2000), DeflectionRecord.Dot(33768, 32768, 1),
        ]);
        replay.End();
        var spread = new SpreadFunction([new(SpreadShape.Gaussian, Deviation * Math.Sqrt(2), 1)]);
        var field = new EnergyField(map, spread, 0);
        foreach (double x in new double[] { 1500, 2500, 3500 })
        {
            double speed = tau > 0 ? (5000 - x) / tau : slew;
            double expected = StrayDose.PeakOfTrack(0.2 * machine.Beam.CurrentAmperes, speed, Deviation);
            double size = ChargeMap.TileSide * 5.0;
            EnergyTile tile = field.Compute(((int)Math.Floor(x / size), 0), 4);
            Assert.Equal(expected, tile.At(x, 0, 5), 0.01 * expected);
        }
    }

    /// <summary>The speed and the printed length near the goal follow from the peak dose in closed form: x within v*·τ of it.</summary>
    [Fact]
    public void A_leak_prints_where_the_beam_slows_down()
    {
        const double Tau = 10e-6;
        const double Onset = 4e-5;
        Machine machine = MachineWith(new SettleModel(0, Tau, 0), new Blanker(true, true, 0, 0, 0.01));
        var scan = new StrayScan(machine, Deviation, Onset);
        scan.Begin(Header);
        scan.Write([DeflectionRecord.Dot(30_000, 30_000, 10), DeflectionRecord.Jump(34_000, 30_000, 100), DeflectionRecord.Dot(34_000, 30_000, 10)]);
        scan.End();
        double slowest = StrayDose.SlowestUnprinted(0.01 * 1e-10, Onset, Deviation);
        double expected = slowest * Tau - 3 * Deviation;
        StrayJump jump = Assert.Single(scan.ToReport().Worst);
        Assert.Equal(StrayCause.Leak, jump.Cause);

        // The track is judged in 64 parts.
        Assert.Equal(expected, jump.PrintedLengthNanometres, (20_000 - 6 * Deviation) / 64);
    }

    internal static Machine MachineWith(SettleModel settle, Blanker blanker) => new(
        "m", Header.Dac, new Deflection(327_680, 327_680, false, false, false, AffineCalibration.Identity), settle,
        new Clock(1e7, 1, 1_000_000), blanker, new Beam(1e-10, 20, 30_000), new Link(1e6, 4096, true));
}
