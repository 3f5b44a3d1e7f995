using CsCheck;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Instrument;

public sealed class ResistResponseTests
{
    [Theory]
    [InlineData(ResistTone.Positive)]
    [InlineData(ResistTone.Negative)]
    public void The_dose_that_leaves_a_part_of_the_film_leaves_it(ResistTone tone) =>
        Gen.Select(Gen.Double[0.001, 1], Gen.Double[1.01, 30], Gen.Double[0, 1]).Sample((onset, ratio, remaining) =>
        {
            var response = new ResistResponse(tone, onset, onset * ratio);
            Assert.Equal(remaining, response.RemainingFraction(response.DoseLeaving(remaining)), 1e-9);
        }, iter: Iterations.Usually(100));

    // Thompson, Willson, Bowden (2nd ed., 1994): the slope is straight against the logarithm, so its middle is the geometric mean.
    [Fact]
    public void Half_of_the_film_is_left_at_the_geometric_mean_and_ends_are_the_ends()
    {
        var response = new ResistResponse(ResistTone.Positive, 1, 4);
        Assert.Equal([0, 2, 4], [response.DoseLeaving(1), response.DoseLeaving(0.5), response.DoseLeaving(0)]);
        Assert.Equal([0.0, 2, 4], [new ResistResponse(ResistTone.Negative, 1, 4).DoseLeaving(0), new ResistResponse(ResistTone.Negative, 1, 4).DoseLeaving(0.5), new ResistResponse(ResistTone.Negative, 1, 4).DoseLeaving(1)]);
    }
}
