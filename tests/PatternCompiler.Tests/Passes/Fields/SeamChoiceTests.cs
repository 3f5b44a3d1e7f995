using PatternCompiler.Geometry;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Tests.Passes.Fields;

/// <summary>
/// Where a seam goes between 0 and 1280, by hand: places are tried every 10 and where figures end, from the middle, 640, outward. A micrometre is 1000, so a
/// sliver is what is narrower than 100. A stretch that is cut costs 1000 and 1000 micrometres over its length.
/// </summary>
public sealed class SeamChoiceTests
{
    private const int Far = 5000;

    [Fact]
    public void Without_a_cut_the_seam_is_in_the_middle()
    {
        Assert.Equal(640, Find(Whole(0, 0, 650, 100)));
        Assert.Equal(641, SeamChoice.Find([Whole(0, 0, 650, 100)], 0, 1283, 1000));
        Assert.Equal(-3, SeamChoice.Find([], -6, 0, 1000));
    }

    /// <summary>What ends near the middle is not cut at all, on either side of it and up to where it ends.</summary>
    [Theory]
    [InlineData(-Far, 640, 640)]
    [InlineData(-Far, 643, 643)]
    [InlineData(637, Far, 637)]
    [InlineData(640, Far, 640)]
    [InlineData(-Far, Far, 640)]
    public void A_seam_goes_where_a_figure_ends(int left, int right, int seam) => Assert.Equal(seam, Find(Cut(left, 0, right, 1000)));

    /// <summary>At 550 and at 730 one of two is cut, a hundred from its end, which is no sliver yet; of two places as near the lower one is taken.</summary>
    [Fact]
    public void A_seam_leaves_a_tenth_of_a_micrometre() => Assert.Equal(550, Find(Cut(-Far, 0, 650, 1000), Cut(630, 2000, Far, 3000)));

    /// <summary>At 600 a stretch of 300 would be cut, from 800 on one of 2000; from 700 to 790 the latter has a sliver.</summary>
    [Theory]
    [InlineData(300, 2000, 800)]
    [InlineData(2000, 300, 600)]
    public void A_seam_crosses_what_is_wide(int left, int right, int seam) => Assert.Equal(seam, Find(Cut(-Far, 0, 705, left), Cut(695, 0, Far, right)));

    /// <summary>A figure that stays whole lends its length to the one that is cut beside it, on the same layer and where they touch.</summary>
    [Theory]
    [InlineData(0, 100, 590)]
    [InlineData(0, 101, 640)]
    [InlineData(1, 100, 640)]
    public void What_lies_on_each_other_makes_one_stretch(int layer, int bottom, int seam) =>
        Assert.Equal(seam, Find(Cut(-Far, 0, Far, 100), new SeamNeighbour(layer, new GridBox(0, bottom, 600, 2100), false)));

    private static int Find(params SeamNeighbour[] near) => SeamChoice.Find(near, 0, 1280, 1000);

    private static SeamNeighbour Cut(int left, int bottom, int right, int top) => new(0, new GridBox(left, bottom, right, top), true);

    private static SeamNeighbour Whole(int left, int bottom, int right, int top) => new(0, new GridBox(left, bottom, right, top), false);
}
