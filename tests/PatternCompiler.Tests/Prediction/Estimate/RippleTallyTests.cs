using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Tests.Prediction.Estimate;

/// <summary>Bands are many pitches of 4 σ wide, so that each has a ripple of its own; twice the pitch is a larger one.</summary>
public sealed class RippleTallyTests
{
    private const double Deviation = 10;

    [Fact]
    public void Nothing_seen_is_nothing() => Assert.Equal(new SpacingEstimate(0, 0, 0, 0), new RippleTally(Deviation).ToEstimate());

    [Fact]
    public void Spacings_are_those_between_neighbours()
    {
        var tally = new RippleTally(Deviation);
        double[] first = [5, 46, 85, 127, 165, 210], second = [-300, -250, -213, -170];
        tally.See(first, [1, 1, 1, 1, 1, 1], 1);
        tally.See(second, [1, 1, 1, 1], 1);
        SpacingEstimate estimate = tally.ToEstimate();
        Assert.Equal((37, 50), (estimate.SmallestNanometres, estimate.LargestNanometres));
        double[] ripples = [Ripple.OfLines(first, [1, 1, 1, 1, 1, 1], Deviation), Ripple.OfLines(second, [1, 1, 1, 1], Deviation)];
        Assert.Equal(ripples.Max(), estimate.Ripple);
        Assert.Equal(ripples[0] > ripples[1] ? 41 : 130 / 3.0, estimate.RipplePitchNanometres, 1e-12);
    }

    /// <summary>
    /// Thin bands have a hundredth of the charge per length and the larger ripple: they count where they are more than a tenth of all
    /// length, and wherever the same pattern has been seen with a full charge, before or after.
    /// </summary>
    [Theory]
    [InlineData(9.9, false)]
    [InlineData(10.1, true)]
    public void A_tenth_of_the_length_does_not_count(double thinLength, bool counts)
    {
        foreach (bool isThinFirst in (bool[])[true, false])
        {
            var tally = new RippleTally(Deviation);
            See(tally, pitch: 80, charge: 0.02, isThinFirst ? thinLength : 0);
            See(tally, pitch: 40, charge: 1, 60);
            See(tally, pitch: 41, charge: 1, 100 - 60 - thinLength);
            See(tally, pitch: 80, charge: 0.02, isThinFirst ? 0 : thinLength);
            Assert.Equal(counts ? 80 : 41, tally.ToEstimate().RipplePitchNanometres, 1e-9);
        }
    }

    [Theory]
    [InlineData(0.02, 2)]
    [InlineData(2, 0.02)]
    public void A_pattern_counts_with_its_fullest_charge(double first, double then)
    {
        var tally = new RippleTally(Deviation);
        See(tally, pitch: 80, first, 1);
        See(tally, pitch: 40, 1, 97);
        See(tally, pitch: 80, then, 2);
        Assert.Equal(80, tally.ToEstimate().RipplePitchNanometres, 1e-9);
    }

    /// <summary>A band has the charge of all its spacings, so the first line's, which is half outside, does not count.</summary>
    [Fact]
    public void Charge_is_that_of_the_spacings()
    {
        var tally = new RippleTally(Deviation);
        tally.See([0, 80, 160, 240, 320], [100, 0.02, 0.02, 0.02, 0.02], 5);
        See(tally, pitch: 40, 1, 95);
        Assert.Equal(40, tally.ToEstimate().RipplePitchNanometres, 1e-9);
        tally.See([0, 80, 160, 240, 320], [0.02, 0.02, 0.02, 0.02, 100], 5);
        Assert.Equal(80, tally.ToEstimate().RipplePitchNanometres, 1e-9);
    }

    [Fact]
    public void Bands_without_charge_are_the_thinnest()
    {
        var tally = new RippleTally(Deviation);
        tally.See([0, 80, 160, 240], [1, 0, 0, 0], 5);
        See(tally, pitch: 40, 1e-200, 95);
        SpacingEstimate estimate = tally.ToEstimate();
        Assert.Equal((40, 40.0, 80.0), (estimate.RipplePitchNanometres, estimate.SmallestNanometres, estimate.LargestNanometres));
    }

    /// <summary>2048 patterns are summed up; of more, only those whose number is a power of two.</summary>
    [Theory]
    [InlineData(2048, true)]
    [InlineData(2049, false)]
    [InlineData(4095, false)]
    [InlineData(4096, true)]
    [InlineData(4097, false)]
    public void The_number_of_patterns_is_bounded(int others, bool isSeen)
    {
        var tally = new RippleTally(Deviation);
        for (int i = 1; i < others; i++)
        {
            // Two lines have no ripple.
            tally.See([0, 20 + i * 1e-3], [1, 1], 1);
        }

        See(tally, pitch: 80, 1000, 1);
        Assert.Equal(isSeen, tally.ToEstimate().Ripple > 0);
    }

    private static void See(RippleTally tally, double pitch, double charge, double length)
    {
        if (length > 0)
        {
            tally.See([.. Enumerable.Range(0, 9).Select(i => i * pitch)], [.. Enumerable.Repeat(charge, 9)], length);
        }
    }
}
