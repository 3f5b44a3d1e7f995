using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Tests.Prediction.Stray;

public sealed class StrayTallyTests
{
    [Fact]
    public void The_worst_thousand_are_kept_and_all_are_counted()
    {
        var tally = new StrayTally();

        // 1500 doses in an order that is neither rising nor falling: 7 and 1501 share no factor.
        long[] order = [.. Enumerable.Range(1, 1500).Select(i => i * 7L % 1501)];
        foreach (long dose in order)
        {
            tally.Print(Jump(dose, dose, 2) with { OutsideLengthNanometres = 0.5 });
        }

        tally.Expose(1400);
        StrayReport report = tally.ToReport(9000, isAlone: true);
        Assert.Equal((9000, 1500, true), (report.Jumps, report.Printing, report.IsAlone));
        Assert.Equal((3000, 750, 1500), (report.PrintedLengthNanometres, report.OutsideLengthNanometres, report.LargestDoseCoulombsPerSquareMetre));
        Assert.Equal(Enumerable.Range(0, 1000).Select(i => 1500.0 - i), report.Worst.Select(jump => jump.PeakDoseCoulombsPerSquareMetre));
        Assert.Equal(3000 - 750 * 15.0 / 16, report.Harm);
    }

    // Dose times length: 3 × 5 before 2 × 7 before 10 × 1; the earlier of two alike goes first.
    [Fact]
    public void Worst_is_what_has_most_dose_times_length()
    {
        var tally = new StrayTally();
        tally.Print(Jump(4, 10, 1));
        tally.Print(Jump(3, 2, 7));
        tally.Print(Jump(2, 3, 5));
        tally.Print(Jump(1, 5, 3));
        tally.Expose(11);
        Assert.Equal([1, 2, 3, 4], tally.ToReport(4, false).Worst.Select(jump => jump.Record));
        Assert.Equal(11, tally.ToReport(4, false).LargestDoseCoulombsPerSquareMetre);
    }

    /// <summary>Of more than are kept the earliest of those that are alike stay, in whatever order they come.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void The_earliest_of_those_alike_are_kept(bool isReversed)
    {
        var tally = new StrayTally();
        IEnumerable<int> records = Enumerable.Range(0, 1003);
        foreach (int record in isReversed ? records.Reverse() : records)
        {
            tally.Print(Jump(record, 3, 2));
        }

        Assert.Equal(Enumerable.Range(0, 1000).Select(i => (long)i), tally.ToReport(1003, false).Worst.Select(jump => jump.Record));
    }

    /// <summary>What a copy has taken over: lengths, the largest dose and fog, each the larger of both and not the last.</summary>
    [Fact]
    public void A_copy_has_all_that_was_taken()
    {
        var tally = new StrayTally();
        tally.Print(Jump(1, 5, 3) with { OutsideLengthNanometres = 2 });
        tally.Expose(9);
        tally.Expose(8);
        tally.Haze(0.5);
        tally.Haze(0.25);
        StrayReport report = tally.Copy().ToReport(7, true);
        Assert.Equal((1, 3, 2, 9, 0.5), (report.Printing, report.PrintedLengthNanometres, report.OutsideLengthNanometres, report.LargestDoseCoulombsPerSquareMetre, report.FogPartOfOnset));
        report = report.With(new StrayReport(1, 0, 0, 0, [], false) { FogPartOfOnset = 0.75 });
        Assert.Equal((8, 0.75), (report.Jumps, report.FogPartOfOnset));
    }

    [Fact]
    public void A_copy_counts_on_by_itself()
    {
        var tally = new StrayTally();
        tally.Print(Jump(1, 5, 3));
        StrayTally copy = tally.Copy();
        copy.Print(Jump(2, 6, 4));
        Assert.Equal((1, 3.0, 5.0, 1), Of(tally));
        Assert.Equal((2, 7.0, 6.0, 2), Of(copy));

        static (long, double, double, int) Of(StrayTally tally)
        {
            StrayReport report = tally.ToReport(2, false);
            return (report.Printing, report.PrintedLengthNanometres, report.LargestDoseCoulombsPerSquareMetre, report.Worst.Length);
        }
    }

    private static StrayJump Jump(long record, double dose, double length) => new(record, 0, 0, 1, 1, dose, dose, length, 20, StrayCause.Leak);
}
