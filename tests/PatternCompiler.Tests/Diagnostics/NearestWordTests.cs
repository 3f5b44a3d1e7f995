using PatternCompiler.Diagnostics;

namespace PatternCompiler.Tests.Diagnostics;

public sealed class NearestWordTests
{
    [Theory]
    [InlineData("filed_width", "field_width")]
    [InlineData("Bits", "bits")]
    [InlineData("bit", "bits")]
    [InlineData("codng", "coding")]
    [InlineData("zzzzz", null)]
    [InlineData("", null)]
    public void Finds_the_word_that_was_meant(string typed, string? expected) =>
        Assert.Equal(expected, NearestWord.Find(typed, ["bits", "field_width", "coding"]));
}
