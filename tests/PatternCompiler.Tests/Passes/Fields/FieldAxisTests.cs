using PatternCompiler.Diagnostics;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Tests.Passes.Fields;

/// <summary>Fields along one axis by hand: how many, where, and which of them holds what.</summary>
public sealed class FieldAxisTests
{
    // Centres at 10, 100 and 190, each with 50 to either side.
    private static readonly FieldAxis Three = new(10, 90, 3, 50);

    /// <summary>As few fields as reach both ends, about the middle of the pattern, at whole steps; halves of a step go up.</summary>
    [Theory]
    [InlineData(0, 100, 100, 10, 1, null, 50, 90, 1, 50)]
    [InlineData(0, 101, 100, 10, 1, null, 5, 90, 2, 50)]
    [InlineData(0, 190, 100, 10, 1, null, 50, 90, 2, 50)]
    [InlineData(0, 191, 100, 10, 1, null, 5, 90, 3, 50)]
    [InlineData(-30, 270, 101, 11, 4, null, -12, 88, 4, 50)]
    [InlineData(0, 100, 200, 10, 4, null, 52, 188, 1, 100)]
    [InlineData(-100, 0, 200, 10, 4, null, -48, 188, 1, 100)]
    [InlineData(3, 3, 100, 10, 7, null, 0, 84, 1, 50)]
    [InlineData(0, 100, 100, 10, 1, 40L, 40, 90, 2, 50)]
    [InlineData(0, 90, 100, 10, 1, 40L, 40, 90, 1, 50)]
    [InlineData(0, 91, 100, 10, 1, 40L, 40, 90, 2, 50)]
    [InlineData(0, 20, 100, 10, 1, 50L, 50, 90, 1, 50)]
    [InlineData(0, 900_010, 100, 10, 1, null, 50, 90, 10_000, 50)]
    [InlineData(0, 20, 100, 95, 5, null, 10, 5, 1, 50)]
    public void A_stretch_is_covered_with_as_few_as_it_takes(int low, int high, long size, long margin, long step, long? given, int first, int pitch, int count, int half) =>
        Assert.Equal(new FieldAxis(first, pitch, count, half), FieldAxis.Cover(low, high, size, margin, step, given, "x", 100));

    [Theory]
    [InlineData(0, 20, 100, 96, 5, null, "write fields of 0.01 um that share 0.0096 um leave nothing to step by along y")]
    [InlineData(-20, 20, 100, 10, 1, 31L, "the pattern begins at y = -0.002 um, but the first write field reaches from -0.0019 um")]
    [InlineData(0, 900_011, 100, 10, 1, null, "the pattern is 90.0011 um long along y, which takes more than 10000 write fields of 0.01 um")]
    public void What_cannot_be_covered_is_told(int low, int high, long size, long margin, long step, long? given, string message) =>
        Assert.Equal(message, Assert.Throws<CompileException>(() => FieldAxis.Cover(low, high, size, margin, step, given, "y", 100)).Diagnostic.Message);

    /// <summary>Where two fields hold a stretch, that whose centre is nearer to its middle, and of two as near the lower one.</summary>
    [Theory]
    [InlineData(-40, 60, 0)]
    [InlineData(-41, 0, -1)]
    [InlineData(-40, 61, -1)]
    [InlineData(49, 60, 0)]
    [InlineData(50, 61, 1)]
    [InlineData(50, 60, 0)]
    [InlineData(52, 60, 1)]
    [InlineData(50, 150, 1)]
    [InlineData(140, 150, 1)]
    [InlineData(142, 150, 2)]
    [InlineData(139, 150, 1)]
    [InlineData(140, 151, 2)]
    [InlineData(200, 240, 2)]
    [InlineData(200, 241, -1)]
    [InlineData(-200, -190, -1)]
    [InlineData(900, 910, -1)]
    public void A_stretch_has_one_home(int low, int high, int home) => Assert.Equal(home, Three.Home(low, high));

    [Fact]
    public void Centres_are_a_pitch_apart() => Assert.Equal([10, 100, 190], Enumerable.Range(0, 3).Select(Three.Centre));
}
