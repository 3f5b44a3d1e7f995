using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Tests.Prediction.Stray;

/// <summary>Stretches that print, added up by hand; what is no longer than 40 nm is no line.</summary>
public sealed class StrayRunsTests
{
    [Fact]
    public void Stretches_longer_than_the_beam_is_wide_are_added_up()
    {
        var runs = new StrayRuns(40);
        runs.Break();
        Assert.Equal((0.0, 0.0, 0), (runs.Length, runs.Width, runs.Stretches.Length));

        // 30 nm 10 wide and 20 nm 25 wide, 20 nm of it around the pattern; most dose in the second piece.
        runs.Add(1, 2, 30, false, 5, 3, 10, StrayCause.Leak);
        runs.Add(4, 6, 20, true, 7, 4, 25, StrayCause.LateBlanking);
        Assert.Equal(0, runs.Length);
        runs.Break();
        Assert.Equal((50.0, 20.0, 7.0, 4.0, 16.0, StrayCause.LateBlanking), (runs.Length, runs.OutsideLength, runs.PeakDose, runs.OwnDose, runs.Width, runs.Cause));

        // Just 40 nm: a bulge, however strong, and nothing of it stays.
        runs.Add(9, 9, 40, true, 99, 98, 97, StrayCause.NoBlanker);
        runs.Break();
        Assert.Equal((50.0, 20.0, 7.0, 4.0, 16.0, StrayCause.LateBlanking), (runs.Length, runs.OutsideLength, runs.PeakDose, runs.OwnDose, runs.Width, runs.Cause));

        // A longer one with less dose, then one with more.
        runs.Add(10, 20, 41, false, 6, 6, 5, StrayCause.NoBlanker);
        runs.Break();
        Assert.Equal((91.0, 20.0, 7.0, 4.0, 1005.0 / 91, StrayCause.LateBlanking), (runs.Length, runs.OutsideLength, runs.PeakDose, runs.OwnDose, runs.Width, runs.Cause));
        runs.Add(30, 40, 109, true, 8, 2, 5, StrayCause.NoBlanker);
        runs.Break();
        Assert.Equal((200.0, 129.0, 8.0, 2.0, 7.75, StrayCause.NoBlanker), (runs.Length, runs.OutsideLength, runs.PeakDose, runs.OwnDose, runs.Width, runs.Cause));
        Assert.Equal([[(1, 2), (4, 6)], [(10, 20)], [(30, 40)]], runs.Stretches.Select(stretch => stretch.ToArray()));
    }

    /// <summary>Of many places every so many are kept, and the last.</summary>
    [Theory]
    [InlineData(63, 1, 63)]
    [InlineData(64, 2, 33)]
    [InlineData(65, 2, 33)]
    [InlineData(129, 3, 44)]
    public void Places_of_a_long_stretch_are_thinned(int places, int stride, int kept)
    {
        var runs = new StrayRuns(40);
        for (int i = 0; i < places; i++)
        {
            runs.Add(i, -i, 10, false, 1, 1, 1, StrayCause.Leak);
        }

        runs.Break();
        var stretch = Assert.Single(runs.Stretches);
        Assert.Equal(kept, stretch.Length);
        Assert.Equal((0.0, 0.0), stretch[0]);
        Assert.Equal(((double)stride, -(double)stride), stretch[1]);
        Assert.Equal((places - 1.0, 1.0 - places), stretch[^1]);
    }
}
