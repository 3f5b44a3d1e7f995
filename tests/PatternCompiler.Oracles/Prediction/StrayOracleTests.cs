using PatternCompiler.Instrument;
using PatternCompiler.Model;
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

    /// <summary>
    /// The speed and the printed length near the goal follow from the peak dose in closed form: x within v*·τ of it, up to
    /// where the goal's own dot, a Gaussian of peak Q/(2πσ²), reaches the onset.
    /// </summary>
    [Fact]
    public void A_leak_prints_where_the_beam_slows_down()
    {
        const double Tau = 10e-6;
        const double Onset = 4e-5;
        Machine machine = MachineWith(new SettleModel(0, Tau, 0), new Blanker(true, true, 0, 0, 0.01));
        StrayReport report = Scan(machine, Onset, DeflectionRecord.Dot(30_000, 30_000, 10), DeflectionRecord.Jump(34_000, 30_000, 2000), DeflectionRecord.Dot(34_000, 30_000, 10));
        double slowest = 0.01 * 1e-10 / (Onset * Deviation * 1e-9 * Math.Sqrt(2 * Math.PI)) * 1e9;
        double dot = (1e-10 * 1e-6 + 0.01 * 1e-10 * 2e-4) / (2 * Math.PI * Deviation * Deviation * 1e-18);
        double expected = slowest * Tau - Deviation * Math.Sqrt(2 * Math.Log(dot / Onset));
        StrayJump jump = Assert.Single(report.Worst);
        Assert.Equal(StrayCause.Leak, jump.Cause);
        Assert.Equal(expected, jump.PrintedLengthNanometres, 0.02 * expected);
    }

    /// <summary>
    /// Width from the cross-section of the simulated exposure, where it crosses the onset, against the closed form
    /// 2σ√(2·ln(peak/onset)) and against the scan; and along the whole track, as no ground is exposed there.
    /// </summary>
    [Fact]
    public void Width_and_length_agree_with_the_simulation()
    {
        const double Speed = 1e8;
        Machine machine = MachineWith(new SettleModel(0, 0, Speed), new Blanker(false, true, 0, 0, 1));
        DeflectionRecord[] records = [DeflectionRecord.Jump(32768, 32768, 0), DeflectionRecord.Jump(34768, 32768, 1000)];
        double peak = StrayDose.PeakOfTrack(1e-10, Speed, Deviation);
        double onset = peak / 3;
        double closed = 2 * Deviation * Math.Sqrt(2 * Math.Log(3));

        var map = new ChargeMap(5);
        Send(new ExposureReplay(machine, map), records);
        var field = new EnergyField(map, new SpreadFunction([new(SpreadShape.Gaussian, Deviation * Math.Sqrt(2), 1)]), 0);
        EnergyTile above = field.Compute((3, 0), 4);
        EnergyTile below = field.Compute((3, -1), 4);
        double simulated = Crossing(above, 1) + Crossing(below, -1);
        Assert.Equal(closed, simulated, 0.005 * closed);

        StrayJump jump = Assert.Single(Scan(machine, onset, records).Worst);
        Assert.Equal(closed, jump.PrintedWidthNanometres, 0.01 * closed);
        Assert.Equal(10_000, jump.PrintedLengthNanometres, 2 * Deviation);

        double Crossing(EnergyTile tile, int direction)
        {
            double y = 0;
            while (tile.At(4480, direction * y, 5) >= onset)
            {
                y += 0.05;
            }

            return y;
        }
    }

    /// <summary>Two tracks a distance d apart: on either one lies its own dose and exp(−d²/2σ²) of the other's (sum of Gaussians).</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(4)]
    [InlineData(9)]
    public void Tracks_beside_each_other_add_up(int codesApart)
    {
        const double Speed = 1e8;
        Machine machine = MachineWith(new SettleModel(0, 0, Speed), new Blanker(false, true, 0, 0, 1));
        double one = StrayDose.PeakOfTrack(1e-10, Speed, Deviation);
        double distance = codesApart * 5;
        double both = one * (1 + Math.Exp(-distance * distance / (2 * Deviation * Deviation)));
        StrayReport report = Scan(
            machine,
            1.05 * one,
            DeflectionRecord.Jump(32768, 32768, 10),
            DeflectionRecord.Jump(34768, 32768, 1000),
            DeflectionRecord.Jump(34768, 32768 + codesApart, 1000),
            DeflectionRecord.Jump(32768, 32768 + codesApart, 1000));
        if (both < 1.05 * one)
        {
            Assert.InRange(report.Worst.Count(jump => jump.PrintedLengthNanometres > 1000), 0, 0);
            return;
        }

        StrayJump jump = report.Worst.First(j => j.PrintedLengthNanometres > 5000);
        Assert.Equal(one, jump.OwnDoseCoulombsPerSquareMetre, 0.01 * one);

        // The ends, where the beam rests and turns, get more; the long part in between decides on the length.
        Assert.InRange(jump.PeakDoseCoulombsPerSquareMetre, 0.99 * both, double.PositiveInfinity);
        Assert.Equal(10_000, jump.PrintedLengthNanometres, 6 * Deviation);
    }

    /// <summary>
    /// A track across an exposed bar prints on both sides of it, and not where the bar's own edge dose, an error function
    /// of the distance, is above the onset.
    /// </summary>
    [Fact]
    public void Ground_that_is_exposed_anyway_does_not_count()
    {
        const double Speed = 1e8;
        Machine machine = MachineWith(new SettleModel(0, 0, Speed), new Blanker(false, true, 0, 0, 1));
        double one = StrayDose.PeakOfTrack(1e-10, Speed, Deviation);

        // A bar 1 µm wide around x = 5 µm, of lines 10 nm apart; each point 5 nm long and wide 10 nm.
        var records = new List<DeflectionRecord> { DeflectionRecord.Jump(33668, 32568, 2000) };
        const long Ticks = 20;
        for (int i = 0; i <= 100; i++)
        {
            records.Add(DeflectionRecord.Line(33668 + 2 * i, 32568, 33668 + 2 * i, 32968, 401, 401 * Ticks));
        }

        records.Add(DeflectionRecord.Jump(32768, 34768, 4000));
        records.Add(DeflectionRecord.Jump(32768, 32768, 4000));
        records.Add(DeflectionRecord.Jump(34768, 32768, 4000));
        double plateau = 1e-10 * Ticks * 1e-7 / (5e-9 * 10e-9);
        double onset = one / 2;
        StrayJump jump = Scan(machine, onset, [.. records]).Worst.Single(j => j.Record == records.Count - 1);

        // The bar's edge reaches the onset z deviations outside, plateau·(1 − Φ(z)) = onset; z by bisection.
        double low = 0;
        double high = 6;
        for (int i = 0; i < 60; i++)
        {
            double z = (low + high) / 2;
            (low, high) = plateau * UpperTail(z) > onset ? (z, high) : (low, z);
        }

        double expected = 10_000 - (1010 + 2 * low * Deviation);
        Assert.Equal(expected, jump.PrintedLengthNanometres, 2 * Deviation);
    }

    /// <summary>
    /// Pattern, background and track together: where a stray track runs between two exposed bars, the scan calls it printed
    /// just when the simulation of the same records has the onset in the middle of the gap.
    /// </summary>
    [Theory]
    [InlineData(0.98, true)]
    [InlineData(1.02, false)]
    public void The_scan_decides_as_the_simulation_does(double part, bool prints)
    {
        Machine machine = MachineWith(new SettleModel(0, 2e-6, 2e6), new Blanker(false, true, 0, 0, 1));
        SpreadFunction spread = SpreadFunction.TwoGaussian(30, 1500, 0.8);
        var records = new List<DeflectionRecord> { DeflectionRecord.Jump(32468, 32568, 150_000) };
        foreach (int left in new[] { 32468, 32868 })
        {
            records.Add(DeflectionRecord.Jump(left, 32568, 150_000));
            for (int i = 0; i <= 50; i++)
            {
                (int from, int to) = i % 2 == 0 ? (32568, 32968) : (32968, 32568);
                records.Add(DeflectionRecord.Line(left + 4 * i, from, left + 4 * i, to, 101, 101 * 80));
            }
        }

        records.Add(DeflectionRecord.Jump(32768, 34768, 150_000));
        records.Add(DeflectionRecord.Jump(32768, 30768, 150_000));
        DeflectionRecord[] document = [.. records];
        var map = new ChargeMap(5);
        Send(new ExposureReplay(machine, map), document);
        var field = new EnergyField(map, spread, 0);
        double middle = field.Compute((0, 0), 4).At(0, 2.5, 5);
        var scan = new StrayScan(machine, spread, part * middle);
        Send(scan, document);
        bool found = scan.ToReport().Worst.Any(jump => jump.Record == document.Length - 1 && jump.Stretches.Any(stretch => stretch.Min(place => place.Y) < 0 && stretch.Max(place => place.Y) > 0));
        Assert.Equal(prints, found);
    }

    // Upper tail of the normal distribution by Simpson's rule: slow and plain.
    private static double UpperTail(double z)
    {
        const int Steps = 4000;
        double h = (12 - z) / Steps;
        double sum = 0;
        for (int i = 0; i <= Steps; i++)
        {
            double x = z + i * h;
            sum += Math.Exp(-x * x / 2) * (i == 0 || i == Steps ? 1 : i % 2 == 1 ? 4 : 2);
        }

        return sum * h / 3 / Math.Sqrt(2 * Math.PI);
    }

    private static StrayReport Scan(Machine machine, double onset, params DeflectionRecord[] records)
    {
        var scan = new StrayScan(machine, new SpreadFunction([new SpreadTerm(SpreadShape.Gaussian, Deviation * Math.Sqrt(2), 1)]), onset);
        Send(scan, records);
        return scan.ToReport();
    }

    private static void Send(IDocumentSink<RecordsHeader, DeflectionRecord> sink, DeflectionRecord[] records)
    {
        sink.Begin(Header);
        sink.Write(records);
        sink.End();
    }

    internal static Machine MachineWith(SettleModel settle, Blanker blanker) => new(
        "m", Header.Dac, new Deflection(327_680, 327_680, false, false, false, AffineCalibration.Identity), settle,
        new Clock(1e7, 1, 1_000_000), blanker, new Beam(1e-10, 20, 30_000), new Link(1e6, 4096, true));
}
