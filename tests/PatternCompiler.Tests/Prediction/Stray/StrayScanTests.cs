using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Tests.Prediction.Stray;

public class StrayScanTests
{
    private static readonly RecordsHeader Header = new(
        "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e7, 1, 1_000_000, 5, 5, false);

    [Fact]
    public void A_perfect_blanker_draws_nothing()
    {
        StrayReport report = Scan(new SettleModel(0, 10e-6, 0), new Blanker(true, true, 0, 0, 0));
        Assert.Equal((2, 0, 0.0), (report.Jumps, report.Printing, report.LargestDoseCoulombsPerSquareMetre));
    }

    [Fact]
    public void A_late_blanker_draws_at_the_beginning_of_a_jump()
    {
        StrayJump jump = Assert.Single(Scan(new SettleModel(0, 10e-6, 0), new Blanker(true, true, 4e-6, 0, 0)).Worst);
        Assert.Equal(StrayCause.LateBlanking, jump.Cause);

        // In 4 µs the beam covers 1 − exp(−0.4) of its way.
        Assert.InRange(jump.PrintedLengthNanometres, 0.30 * 20_000, 0.34 * 20_000);
    }

    [Fact]
    public void Without_a_blanker_slow_jumps_print_and_fast_ones_do_not()
    {
        StrayReport slow = Scan(new SettleModel(0, 100e-6, 0), new Blanker(false, true, 0, 0, 0));
        Assert.Equal(StrayCause.NoBlanker, Assert.Single(slow.Worst).Cause);
        Assert.Equal(0, Scan(new SettleModel(0, 0, 1e12), new Blanker(false, true, 0, 0, 0)).Printing);
        Assert.Equal(0, Scan(new SettleModel(0, 0, 0), new Blanker(false, true, 0, 0, 0)).Printing);
    }

    [Fact]
    public void The_warning_says_how_many_how_long_and_why()
    {
        Diagnostic? warning = StrayScan.WarningOf(Scan(new SettleModel(0, 0, 1e8), new Blanker(false, true, 0, 0, 0)));
        Assert.Equal(
            "warning PC3025: 1 of 2 jumps would print a line, 19.9 um in all; the worst is 19.9 um long and 109 nm wide with 1.99 uC/cm2, because there is no blanker; order the figures so that jumps run over exposed ground, jump faster, use less beam current, or mend the blanker",
            warning!.ToString());
    }

    [Fact]
    public void Widths_follow_the_cross_section()
    {
        // Where the peak is √e times the onset, the printed width is twice the standard deviation.
        Assert.Equal(40, StrayDose.PrintedWidth(Math.Sqrt(Math.E), 1, 20), 1e-9);
        Assert.Equal(0, StrayDose.PrintedWidth(0.9, 1, 20));
        Assert.Equal(1e6, StrayDose.SlowestUnprinted(1e-9, StrayDose.PeakOfTrack(1e-9, 1e6, 15), 15), 1e-3);
    }

    private static StrayReport Scan(SettleModel settle, Blanker blanker)
    {
        var machine = new Machine(
            "m", Header.Dac, new Deflection(327_680, 327_680, false, false, false, AffineCalibration.Identity), settle,
            new Clock(1e7, 1, 1_000_000), blanker, new Beam(1e-10, 20, 30_000), new Link(1e6, 4096, true));
        var scan = new StrayScan(machine, 20, 5e-4);
        scan.Begin(Header);
        scan.Write(
        [
            DeflectionRecord.Jump(30_000, 30_000, 10), DeflectionRecord.Dot(30_000, 30_000, 10),
            DeflectionRecord.Jump(34_000, 30_000, 100), DeflectionRecord.Dot(34_000, 30_000, 10),
        ]);
        scan.End();
        return scan.ToReport();
    }
}
