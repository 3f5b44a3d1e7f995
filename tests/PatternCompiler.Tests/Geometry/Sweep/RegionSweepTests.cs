using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Tests.Geometry.Sweep;

public sealed class RegionSweepTests
{
    [Fact]
    public void Bands_join_to_what_a_single_sweep_finds() =>
        Gen.Select(Gen.OneOf(RandomRings.OfAnySize, RandomRings.Any(60, 10, 30)), Gen.Enum<FillRule>(), Gen.Int[2, 12]).Sample(
            (rings, fill, threads) =>
            {
                Arrangement arrangement = Arrangement.Build(rings, null, 1, default);
                CoverRule rule = CoverRule.Single(fill);
                ContourSet expected = RegionSweep.Outlines(arrangement, rule, 1, default);
                ContourSet actual = RegionSweep.Outlines(arrangement, rule, threads, default, linksPerBand: 1);
                Assert.Equal(expected.Points.ToArray(), actual.Points.ToArray());
                Assert.Equal(expected.Count, actual.Count);
                Assert.Equal(
                    RegionSweep.Decompose(arrangement, rule, 1, default),
                    RegionSweep.Decompose(arrangement, rule, threads, default, linksPerBand: 1));
            },
            iter: Iterations.Usually(500));

    /// <summary>Bands begin and end where all is, begin on a line of their own, and hold about as many links each, as many bands as there are threads.</summary>
    [Theory]
    [InlineData(1, 1)]
    [InlineData(2, 2)]
    [InlineData(5, 5)]
    [InlineData(64, 12)]
    public void Bands_hold_equal_shares(int threads, int bands)
    {
        var builder = new ContourSetBuilder();
        for (int i = 0; i < 300; i++)
        {
            (int x, int y) = (i * 37 % 300 * 20, i * 11);
            builder.AddRing([new(x, y), new(x + 9, y + 1), new(x + 5, y + 7)]);
        }

        Arrangement arrangement = Arrangement.Build(builder.ToContourSet(), null, 1, default);
        int links = arrangement.LinkStarts[^1];
        int[] firsts = RegionSweep.CutBands(arrangement, threads, linksPerBand: links / 12);
        Assert.Equal((0, arrangement.VertexCount, bands + 1), (firsts[0], firsts[^1], firsts.Length));
        for (int i = 1; i <= bands; i++)
        {
            Assert.InRange((arrangement.LinkStarts[firsts[i]] - arrangement.LinkStarts[firsts[i - 1]]) * bands / (double)links, 0.8, 1.2);
            Assert.True(i == bands || arrangement.Y(firsts[i]) > arrangement.Y(firsts[i] - 1));
        }
    }
}
