using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Tests.Prediction.Stray;

/// <summary>
/// Single tracks judged alone: 100 pA, σ = 20 nm, of whose energy half stays near, axes that move at 0.1 m/s each. A track along an axis has
/// the dose ½·I/(v·σ·√2π), one at 45° √2 less.
/// </summary>
public sealed class TrackJudgeTests
{
    private const double Speed = 1e8;
    private static readonly double AlongAxis = 0.5 * 1e-10 / 0.1 / (20e-9 * Math.Sqrt(2 * Math.PI));
    private static readonly SpreadFunction Spread = new([new SpreadTerm(SpreadShape.Gaussian, 20 * Math.Sqrt(2), 1), new SpreadTerm(SpreadShape.Gaussian, 9000, 1)]);

    private static TrackJudge Judge(Blanker blanker, double onset, double tau = 0, double speed = Speed) => new(
        DefaultFiles.Machine with { Blanker = blanker, Beam = new Beam(1e-10, 20, 30_000) }, new StrayWay(new SettleModel(0, tau, speed)), Spread, onset);

    /// <summary>
    /// 3 µm by 4 µm: 3·√2 µm at 45°, then 1 µm along y. In pieces of at most 5000/64 nm that is 13 of 1000/13 nm, of which the last lies
    /// within 3σ = 60 nm of the goal. In all directions.
    /// </summary>
    [Theory]
    [InlineData(1, 1, false)]
    [InlineData(-1, 1, false)]
    [InlineData(1, -1, true)]
    [InlineData(-1, -1, true)]
    public void Only_where_the_beam_is_slow_enough_it_prints(int signX, int signY, bool isTurned)
    {
        (double x, double y) = isTurned ? (signX * 4000, signY * 3000) : (signX * 3000, signY * 4000);
        var track = new StrayTrack(500, -700, 500 + x, -700 + y, 1e-3, 0, 17, 5, 3, 4);
        var tally = new StrayTally();
        double onset = 0.1 * AlongAxis * 0.8;
        StrayJump jump = Judge(new Blanker(true, true, 0, 0, 0.1), onset).Alone(track, tally)!.Value;
        Assert.Equal(12 * 1000.0 / 13, jump.PrintedLengthNanometres, 1e-6);
        Assert.Equal(1, jump.PeakDoseCoulombsPerSquareMetre / (0.1 * AlongAxis), 1e-9);
        Assert.Equal(1, jump.OwnDoseCoulombsPerSquareMetre / (0.1 * AlongAxis), 1e-9);
        Assert.Equal(40 * Math.Sqrt(2 * Math.Log(1 / 0.8)), jump.PrintedWidthNanometres, 1e-6);
        Assert.Equal((17, 3, 4, StrayCause.Leak, 0.0), (jump.Record, jump.FromFigure, jump.ToFigure, jump.Cause, jump.OutsideLengthNanometres));
        Assert.Equal((500, -700, 500 + x, -700 + y), (jump.FromXNanometres, jump.FromYNanometres, jump.ToXNanometres, jump.ToYNanometres));
        (double X, double Y)[] stretch = [.. Assert.Single(jump.Stretches)];
        Assert.Equal(12, stretch.Length);
        double begin = 3000 + 500.0 / 13;
        Assert.Equal(500 + (isTurned ? signX * begin : signX * 3000), stretch[0].X, 1e-6);
        Assert.Equal(-700 + (isTurned ? signY * 3000 : signY * begin), stretch[0].Y, 1e-6);

        // What prints nothing is told as the largest dose.
        Assert.Equal(1, tally.ToReport(1, true).LargestDoseCoulombsPerSquareMetre / (0.1 * AlongAxis / Math.Sqrt(2)), 1e-9);
        tally = new StrayTally();
        Assert.Null(Judge(new Blanker(true, true, 0, 0, 0.1), 0.1 * AlongAxis * 1.001).Alone(track, tally));
        Assert.Equal(1, tally.ToReport(1, true).LargestDoseCoulombsPerSquareMetre / (0.1 * AlongAxis), 1e-9);
    }

    /// <summary>A blanker that is late for another 12 µs: 1.2 µm at the full current of a way of 3 µm, less the first piece, which is an end.</summary>
    [Fact]
    public void What_comes_late_is_told_from_what_leaks()
    {
        var track = new StrayTrack(0, 0, 0, -3000, 1e-3, 12e-6, 0, 0, -1, -1);
        const double Piece = 3000.0 / 64;
        StrayJump late = Judge(new Blanker(true, true, 12e-6, 0, 0.1), 0.5 * AlongAxis).Alone(track, new StrayTally())!.Value;
        Assert.Equal(25 * Piece, late.PrintedLengthNanometres + Piece, 1e-6 + Piece);
        Assert.Equal(1, late.PeakDoseCoulombsPerSquareMetre / AlongAxis, 1e-9);
        Assert.Equal(StrayCause.LateBlanking, late.Cause);

        // The leak prints, too, where the onset is lower: all but the two ends.
        StrayJump all = Judge(new Blanker(true, true, 12e-6, 0, 0.1), 0.09 * AlongAxis).Alone(track, new StrayTally())!.Value;
        Assert.Equal(62 * Piece, all.PrintedLengthNanometres, 1e-6);
        Assert.Equal(StrayCause.LateBlanking, all.Cause);

        StrayJump none = Judge(new Blanker(false, true, 0, 0, 0), 0.5 * AlongAxis).Alone(track with { FullSeconds = 0 }, new StrayTally())!.Value;
        Assert.Equal((62 * Piece, StrayCause.NoBlanker), (Math.Round(none.PrintedLengthNanometres, 6), none.Cause));
        Assert.Equal(1, none.PeakDoseCoulombsPerSquareMetre / AlongAxis, 1e-9);
    }

    [Fact]
    public void What_prints_nothing_by_itself_is_not_looked_at()
    {
        var track = new StrayTrack(0, 0, 0, -3000, 1e-3, 0, 0, 0, -1, -1);
        Assert.Null(Judge(new Blanker(true, true, 0, 0, 0), 1e-12).Alone(track, new StrayTally()));
        Assert.NotNull(Judge(new Blanker(true, true, 0, 0, 0), 1e-12).Alone(track with { FullSeconds = 1 }, new StrayTally()));
        Assert.NotNull(Judge(new Blanker(false, true, 0, 0, 0), 1e-12).Alone(track, new StrayTally()));
        Assert.Null(Judge(new Blanker(false, true, 0, 0, 0), 1e-12, speed: 0).Alone(track, new StrayTally()));
        Assert.Null(Judge(new Blanker(false, true, 0, 0, 0), 1e-12).Alone(track with { GoalY = -120 }, new StrayTally()));
        Assert.NotNull(Judge(new Blanker(false, true, 0, 0, 0), 1e-12).Alone(track with { GoalY = -180 }, new StrayTally()));
    }

    /// <summary>Charge of a piece from 10 to 14 µs: the full current until the blanker is off, its leak after that.</summary>
    [Theory]
    [InlineData(true, 8, 0.25, 1e-16, StrayCause.Leak)]
    [InlineData(true, 10, 0.25, 1e-16, StrayCause.Leak)]
    [InlineData(true, 11, 0.25, 1.75e-16, StrayCause.LateBlanking)]
    [InlineData(true, 14, 0.25, 4e-16, StrayCause.LateBlanking)]
    [InlineData(true, 99, 0.25, 4e-16, StrayCause.LateBlanking)]
    [InlineData(false, 0, 0.25, 4e-16, StrayCause.NoBlanker)]
    public void Charge_of_a_piece(bool isPresent, double fullMicroseconds, double leak, double coulombs, StrayCause cause)
    {
        var track = new StrayTrack(0, 0, 0, 0, 1, fullMicroseconds * 1e-6, 0, 0, -1, -1);
        Assert.Equal(1, Judge(new Blanker(isPresent, true, 0, 0, leak), 1).ChargeOf(new TrackPiece(0, 0, 10e-6, 4e-6, 50), track, out StrayCause told) / coulombs, 1e-9);
        Assert.Equal(cause, told);
    }

    /// <summary>What jumps leave counts where the pattern leaves the resist unexposed; where it is exposed anyway they spoil nothing.</summary>
    [Fact]
    public void Jumps_over_the_pattern_leave_nothing_to_tell()
    {
        const double Onset = 1;
        StrayTally over = Judged(pattern: 10), bare = Judged(pattern: 0.1);
        Assert.InRange(over.ToReport(1, true).LargestDoseCoulombsPerSquareMetre, 0, 0.01);
        Assert.InRange(bare.ToReport(1, true).LargestDoseCoulombsPerSquareMetre, 0.2, 0.8);

        // A square of 800 nm around the track of 200 nm, and a jump's charge along it that gives 0.95 of the onset with a tenth from the pattern.
        StrayTally Judged(double pattern)
        {
            var ground = new StrayArea(Spread, Onset, 1e10, DefaultFiles.Machine);
            double pixel = ground.PixelNanometres;
            for (double x = -400; x < 400; x += pixel)
            {
                for (double y = -400; y < 400; y += pixel)
                {
                    ground.Expose(x, y, 2 * pattern * pixel * pixel * 1e-18);
                }

                ground.Stray(x / 2, 0, 0.5 * 20e-9 * Math.Sqrt(2 * Math.PI) * pixel * 1e-9);
            }

            var tally = new StrayTally();
            Assert.Null(Judge(new Blanker(true, true, 0, 0, 0.1), Onset).Together(new StrayTrack(-100, 0, 100, 0, 1e-3, 0, 0, 0, -1, -1), ground, null, tally));
            return tally;
        }
    }
}
