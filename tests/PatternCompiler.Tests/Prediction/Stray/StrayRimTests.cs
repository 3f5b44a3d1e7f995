using CsCheck;
using MathNet.Numerics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Tests.Prediction.Stray;

/// <summary>
/// What counts is what jumps add. Around a figure lies a rim that nearly prints by itself, and the least that a jump adds there moves the
/// figure's edge; no line comes of it. A bar 4 um by 0.5 um in rows 10 nm apart, and a jump of 2 um beside it; the beam with its forward
/// scattering has a standard deviation of 20 nm, and the bar's edge is an error function.
/// </summary>
public sealed class StrayRimTests
{
    private const double Deviation = 20;
    private const double Onset = 2e-3;
    private const double Amperes = 1e-10;
    private const double Speed = 1e8;
    private const int Left = 30_000, Right = 30_800, Bottom = 30_000, Rows = 51;
    private const int Top = Bottom + 2 * (Rows - 1);
    private static readonly RecordsHeader Header = new(
        "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e9, 1, 1_000_000_000, 5, 5, false);

    private static readonly double DoseOfWholeBeam = StrayDose.PeakOfTrack(Amperes, Speed, Deviation);
    private static readonly SpreadTerm Near = new(SpreadShape.Gaussian, Deviation * Math.Sqrt(2), 1);

    /// <summary>Along the rim a jump prints a line where its own dose does, whatever the dose of the figure and however near it runs.</summary>
    [Fact]
    public void A_line_beside_a_figure_is_what_the_jump_adds() =>
        Gen.Select(Gen.Int[2, 40], Gen.Int[1, 14], Gen.Double[0.05, 2]).Where((_, _, part) => Math.Abs(part - 1) > 0.07).Sample((ticks, away, part) =>
        {
            // The outermost row stands for half a row beyond itself.
            double under = DoseOf(ticks) / 2 * SpecialFunctions.Erfc((5.0 * away - 5) / (Deviation * Math.Sqrt(2)));
            if (Math.Abs(under / Onset - 1) < 0.1)
            {
                return;
            }

            StrayReport report = Scan(part, new SpreadFunction([Near]), [.. Bar(Bottom, ticks), .. Beside(Top + away)]);
            Assert.Equal(part > 1 && under < Onset, report.Worst.Any(IsAlong));
        }, iter: Iterations.Usually(60));

    /// <summary>30 nm from the edge of a bar of ten times the onset the rim holds 0.67 of it; 0.7 of it more are no line, and more than all of it are.</summary>
    [Theory]
    [InlineData(0.7, false)]
    [InlineData(1.1, true)]
    public void A_rim_that_nearly_prints_makes_no_line_of_a_weak_jump(double part, bool prints) =>
        Assert.Equal(prints, Scan(part, new SpreadFunction([Near]), [.. Bar(Bottom, 20), .. Beside(Top + 7)]).Worst.Any(IsAlong));

    /// <summary>What comes back from afar is no rim: with half of the onset from a wide area all around, half of it is enough.</summary>
    [Theory]
    [InlineData(0.7, true)]
    [InlineData(0.4, false)]
    public void Background_counts(double part, bool prints)
    {
        // A tenth of the energy comes back over 200 nm: 100 nm beside the long edge of a wide bar about 0.24 of it is found.
        var spread = new SpreadFunction([Near, new SpreadTerm(SpreadShape.Gaussian, 200, 1)]);
        double back = 0.5 * DoseOf(16) / 2 * (SpecialFunctions.Erf(600.0 / 200) - SpecialFunctions.Erf(95.0 / 200));
        Assert.InRange(back / Onset, 0.4, 1.2);
        int ticks = (int)Math.Round(16 * 0.5 * Onset / back);
        Assert.Equal(prints, Scan(2 * part, spread, [.. Bar(Bottom, ticks), .. Beside(Top + 20)]).Worst.Any(IsAlong));
    }

    /// <summary>Two bars 60 nm apart: what a jump between them adds joins them, although it would print nothing by itself.</summary>
    [Theory]
    [InlineData(0.15, false)]
    [InlineData(0.8, true)]
    public void A_jump_that_joins_two_figures_counts(double part, bool prints)
    {
        DeflectionRecord[] records = [.. Bar(Bottom, 10), .. Bar(Top + 14, 10), .. Beside(Top + 7)];
        Assert.Equal(prints, Scan(part, new SpreadFunction([Near]), records).Worst.Any(IsAlong));
    }

    /// <summary>A blanker that is never late and lets nothing through prints nothing, whatever is written.</summary>
    [Fact]
    public void A_perfect_blanker_is_never_a_finding() =>
        Gen.Select(Gen.Int[1, 100], Gen.Int[0, 14], Gen.Bool).Sample((ticks, away, isWide) =>
        {
            SpreadTerm[] terms = isWide ? [Near, new SpreadTerm(SpreadShape.Gaussian, 3000, 0.7)] : [Near];
            Assert.Equal(0, Scan(0, new SpreadFunction([.. terms]), [.. Bar(Bottom, ticks), .. Beside(Top + away)]).Printing);
        }, iter: Iterations.Usually(20));

    // 10 nm by 10 nm a point.
    private static double DoseOf(int ticks) => Amperes * ticks * 1e-9 / 1e-16;

    private static bool IsAlong(StrayJump jump) => jump.Cause == StrayCause.Leak && jump.PrintedLengthNanometres > 1000 && jump.FromYNanometres == jump.ToYNanometres;

    private static IEnumerable<DeflectionRecord> Bar(int bottom, int ticks)
    {
        for (int row = 0; row < Rows; row++)
        {
            // Back and forth, so that no way back lies beside the bar.
            (int from, int to) = row % 2 == 0 ? (Left, Right) : (Right, Left);
            yield return DeflectionRecord.Jump(from, bottom + 2 * row, row == 0 ? 1_000_000 : 1000);
            int points = (Right - Left) / 2 + 1;
            yield return DeflectionRecord.Line(from, bottom + 2 * row, to, bottom + 2 * row, points, (long)points * ticks);
        }
    }

    // From above to 1 um inside, and 2 um along: the jump there is just long enough.
    private static IEnumerable<DeflectionRecord> Beside(int y) =>
    [
        DeflectionRecord.Jump(Left + 200, y + 2000, 1_000_000),
        DeflectionRecord.Jump(Left + 200, y, 100_000),
        DeflectionRecord.Jump(Left + 600, y, 20_000),
        DeflectionRecord.Jump(Left + 600, y + 2000, 1_000_000),
    ];

    private static StrayReport Scan(double part, SpreadFunction spread, DeflectionRecord[] records)
    {
        var blanker = new Blanker(true, true, 0, 0, part * Onset / DoseOfWholeBeam);
        var scan = new StrayScan(
            new Machine(
                "m", Header.Dac, new Deflection(327_680, 327_680, false, false, false, AffineCalibration.Identity), new SettleModel(0, 0, Speed),
                new Clock(1e9, 1, 1_000_000_000), blanker, new Beam(Amperes, 20, 30_000), new Link(1e6, 4096, true)),
            spread, Onset);
        scan.Begin(Header);
        scan.Write(records);
        scan.End();
        return scan.ToReport();
    }
}
