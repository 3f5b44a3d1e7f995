using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Tests.Prediction.Estimate;

/// <summary>
/// Bands of lines and points of lines on codes of 2 nm by 3 nm, with a spot of 20 nm. The ripple that is expected is summed up anew from
/// its definition: half of highest less lowest dose over the mean, three σ or half a pitch within the outermost lines.
/// </summary>
public sealed class RippleProbeTests
{
    private const double Spot = 20;
    private const double Deviation = Spot / 2.3548200450309493;

    private static readonly RecordsHeader Header = new(
        "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e6, 1, 1_000_000, 2, 3, false);

    // Steps of 6 and 7 codes in turns, and one of 8: 18, 21 and 24 nm.
    private static readonly int[] Rows = [0, 6, 13, 19, 26, 32, 40, 46, 53, 59, 66, 72];

    // 21 points 20 nm apart along x, from 5000 to 5200.
    private static readonly DeflectionRecord[] Band =
        [.. Rows.Select((row, i) => DeflectionRecord.Line(5000, 4000 + row, 5200, 4000 + row, 21, 21 * (30 + 5 * (i % 3))))];

    [Fact]
    public void A_band_has_the_ripple_of_its_places_and_charges()
    {
        (SpacingEstimate x, SpacingEstimate y) = See(Band);
        double[] places = [.. Rows.Select(row => 3.0 * row)];
        double[] charges = [.. Rows.Select((_, i) => 30.0 + 5 * (i % 3))];
        AssertSpacing(18, 24, RippleOf(places, charges), 216.0 / 11, y);
        AssertSpacing(20, 20, RippleOf([.. Enumerable.Range(0, 21).Select(i => 20.0 * i)], [.. Enumerable.Repeat(1.0, 21)]), 20, x);
    }

    [Fact]
    public void It_is_the_same_from_any_side_and_in_either_axis()
    {
        (SpacingEstimate x, SpacingEstimate y) = See(Band);
        AssertSame(x, y, See([.. Band.Reverse()]));
        AssertSame(x, y, See([.. Band.Select(Backwards)]));
        AssertSame(x, y, See([.. Band.Select((line, i) => i % 2 == 0 ? line : Backwards(line))]));
        AssertSame(x, y, See([.. Band.Select(line => line with { Y = 65536 - line.Y, EndY = 65536 - line.EndY })]));
        AssertSame(x, y, See([.. Band.Select(line => line with { X = 65536 - line.X, EndX = 65536 - line.EndX })]));
        AssertSame(x, y, See(Band, Header with { NanometresPerCodeX = -2, NanometresPerCodeY = -3 }));

        // The same places with the axes exchanged, on the sample or on the way to it.
        DeflectionRecord[] across = [.. Band.Select(Across)];
        RecordsHeader exchanged = Header with { NanometresPerCodeX = 3, NanometresPerCodeY = 2 };
        AssertSame(y, x, See(across, exchanged));
        AssertSame(x, y, See(across, exchanged with { AxesAreSwapped = true }));
        AssertSame(y, x, See(Band, Header with { AxesAreSwapped = true }));
    }

    /// <summary>What ends a band: its lines are then too few, and the largest spacing is that of the bands that are left.</summary>
    [Fact]
    public void Lines_that_do_not_belong_to_the_band_end_it()
    {
        DeflectionRecord[] first = [.. Band.Take(6)];
        SpacingEstimate alone = See(first).Y;
        Assert.Equal((18, 21), (alone.SmallestNanometres, alone.LargestNanometres));

        // Four spots are 80 nm: 26 codes are 78 nm, 27 are 81.
        Assert.Equal(78, See([.. first, Row(32 + 26, 5000, 5200)]).Y.LargestNanometres);
        Assert.Equal(21, See([.. first, Row(32 + 27, 5000, 5200)]).Y.LargestNanometres);
        Assert.Equal(21, See([.. first, Row(32 - 20, 5000, 5200)]).Y.LargestNanometres);
        Assert.Equal(21, See([.. first, Row(32, 5000, 5200)]).Y.LargestNanometres);

        // Beside it: from code 5200 on there is none of the band, and up to code 5000.
        Assert.Equal(21, See([.. first, Row(32 + 20, 5200, 5400)]).Y.LargestNanometres);
        Assert.Equal(60, See([.. first, Row(32 + 20, 5199, 5399)]).Y.LargestNanometres);
        Assert.Equal(21, See([.. first, Row(32 + 20, 4800, 5000)]).Y.LargestNanometres);
        Assert.Equal(60, See([.. first, Row(32 + 20, 4801, 5001)]).Y.LargestNanometres);

        // A line across, whose points are 15 nm apart, a slanted one, a dot.
        Assert.All(
            [Across(Row(32 + 20, 5000, 5200)) with { Points = 41 }, DeflectionRecord.Line(5000, 4052, 5200, 4053, 21, 210), DeflectionRecord.Dot(5000, 4052, 10)],
            other => Assert.Equal(21, See([.. first, other, Row(32 + 20, 5000, 5200)]).Y.LargestNanometres));

        // Two lines make no band, three do.
        Assert.Equal(default, See([.. first.Take(2)]).Y);
        Assert.Equal((18, 21, 19.5), See([.. first.Take(3)]).Y is var three ? (three.SmallestNanometres, three.LargestNanometres, three.RipplePitchNanometres) : default);

        // The first two lines say which way it goes.
        Assert.Equal(default, See([Row(0, 5000, 5200), Row(6, 5000, 5200), Row(1, 5000, 5200)]).Y);
    }

    [Fact]
    public void A_band_of_more_lines_than_are_held_is_looked_at_in_parts()
    {
        // 64 lines 18 nm apart, then 64 at 24 nm; the step of 30 nm between them is seen by neither.
        DeflectionRecord[] lines = [.. Enumerable.Range(0, 64).Select(i => Row(6 * i, 5000, 5200)), .. Enumerable.Range(0, 64).Select(i => Row(6 * 63 + 10 + 8 * i, 5000, 5200))];
        SpacingEstimate y = See(lines).Y;
        Assert.Equal((18, 24, 24), (y.SmallestNanometres, y.LargestNanometres, y.RipplePitchNanometres));
        Assert.Equal(30, See([.. lines.Skip(1)]).Y.LargestNanometres);
    }

    /// <summary>Points that fall on one code are one place with the dwells of both; points further apart than four spots are no line.</summary>
    [Fact]
    public void Points_count_where_they_fall()
    {
        // Codes 0 to 5 in 11 points: 0, 0.5, 1 ... are 0 1 1 2 2 3 3 4 4 5 5 by halves upward; one point of the first, two of each other.
        DeflectionRecord crowded = DeflectionRecord.Line(5000, 4000, 5050, 4000, 101, 1010);
        SpacingEstimate x = See([crowded]).X;
        Assert.Equal((2.0, 2.0), (x.SmallestNanometres, x.LargestNanometres));
        Assert.Equal(default, See([DeflectionRecord.Line(5000, 4000, 5041 * 2 - 5000, 4000, 3, 30)]).X);
        Assert.Equal(80, See([DeflectionRecord.Line(5000, 4000, 5080, 4000, 3, 30)]).X.LargestNanometres);
        Assert.Equal(82, See([DeflectionRecord.Line(5000, 4000, 5082, 4000, 3, 30)], spot: 20.5).X.LargestNanometres);
        Assert.Equal(default, See([DeflectionRecord.Line(5000, 4000, 5082, 4000, 3, 30)]).X);
    }

    /// <summary>A line whose points all fall on one code, or on one place of a sample, tells nothing of how even others are.</summary>
    [Fact]
    public void Points_in_one_place_are_no_line()
    {
        (SpacingEstimate x, SpacingEstimate y) = See(Band);
        DeflectionRecord still = DeflectionRecord.Line(9000, 9000, 9000, 9000, 5, 5000);
        AssertSame(x, y, See([still, .. Band, still, still]));
        Assert.Equal((default, default), See([still]));
    }

    /// <summary>A tenth of all length, of the least charge per length, does not count; a little more of it does.</summary>
    [Theory]
    [InlineData(19, false)]
    [InlineData(24, true)]
    public void Thin_rests_do_not_count(int thinCodes, bool counts)
    {
        // Six even lines of 200 codes, 18 nm apart; six of few codes 60 nm apart that get a tenth of the dose.
        DeflectionRecord[] dense = [.. Enumerable.Range(0, 6).Select(i => DeflectionRecord.Line(5000, 4000 + 6 * i, 5200, 4000 + 6 * i, 2, 2000))];
        DeflectionRecord[] thin = [.. Enumerable.Range(0, 6).Select(i => DeflectionRecord.Line(5000, 6000 + 20 * i, 5000 + thinCodes, 6000 + 20 * i, 2, thinCodes))];
        SpacingEstimate y = See([.. dense, DeflectionRecord.Dot(0, 0, 1), .. thin]).Y;
        double[] places = [.. Enumerable.Range(0, 6).Select(i => (counts ? 60.0 : 18.0) * i)];
        AssertSpacing(18, 60, RippleOf(places, [1, 1, 1, 1, 1, 1]), counts ? 60 : 18, y);
    }

    private static DeflectionRecord Row(int row, int from, int to) => DeflectionRecord.Line(from, 4000 + row, to, 4000 + row, 21, 630);

    private static DeflectionRecord Across(DeflectionRecord line) => line with { X = line.Y, Y = line.X, EndX = line.EndY, EndY = line.EndX };

    private static DeflectionRecord Backwards(DeflectionRecord line) => line with { X = line.EndX, Y = line.EndY, EndX = line.X, EndY = line.Y };

    private static (SpacingEstimate X, SpacingEstimate Y) See(DeflectionRecord[] records, RecordsHeader? header = null, double spot = Spot)
    {
        var probe = new RippleProbe(new SamplePlane(header ?? Header), spot);
        foreach (DeflectionRecord record in records)
        {
            probe.See(record);
        }

        probe.Close();
        return (probe.AlongX, probe.AlongY);
    }

    private static double RippleOf(double[] places, double[] charges)
    {
        double margin = Math.Max(3 * Deviation, (places[^1] - places[0]) / (places.Length - 1) / 2);
        double[] doses = [.. Enumerable.Range(0, 20_001).Select(i => places[0] + margin + (places[^1] - places[0] - 2 * margin) * i / 20_000)
            .Select(at => places.Zip(charges, (place, charge) => charge * Math.Exp(-Math.Pow((at - place) / Deviation, 2) / 2)).Sum())];
        return (doses.Max() - doses.Min()) / 2 / doses.Average();
    }

    private static void AssertSpacing(double smallest, double largest, double ripple, double pitch, SpacingEstimate actual)
    {
        Assert.Equal((smallest, largest), (actual.SmallestNanometres, actual.LargestNanometres));
        Assert.Equal(pitch, actual.RipplePitchNanometres, 1e-9);
        Assert.Equal(1, actual.Ripple / ripple, 0.01);
    }

    private static void AssertSame(SpacingEstimate x, SpacingEstimate y, (SpacingEstimate X, SpacingEstimate Y) actual)
    {
        foreach ((SpacingEstimate expected, SpacingEstimate got) in new[] { (x, actual.X), (y, actual.Y) })
        {
            Assert.Equal((expected.SmallestNanometres, expected.LargestNanometres), (got.SmallestNanometres, got.LargestNanometres));
            Assert.Equal(expected.RipplePitchNanometres, got.RipplePitchNanometres, 1e-9);
            Assert.Equal(expected.Ripple, got.Ripple, 1e-6);
        }
    }
}
