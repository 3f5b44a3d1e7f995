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
}
