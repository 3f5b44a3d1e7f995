using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

public sealed class ProcessFileTests
{
    private const string Bare = "process: bare\ndose: {area: 1 C/m2, line: 1 nC/cm, dot: 1 fC, onset: 0.5 C/m2}\n";

    [Fact]
    public void Built_in_process_is_a_positive_resist_at_30_kV()
    {
        Resist process = DefaultFiles.Process;
        Assert.Equal(
            new Resist("positive PMMA on silicon, 30 kV", 3, 1.5e-7, 20e-15, 1),
            process with { Spread = null, Contrast = null, Substrate = null });
        Assert.Equal("silicon", process.Substrate!.Name);
        Assert.Equal(new ResistContrast(ResistTone.Positive, 1.5, 2.5), process.Contrast);
        Assert.Equal([.. SpreadFunction.TwoGaussian(59, 4000, 0.74).Terms], process.Spread!.Terms.ToArray());
    }

    // The built-in spread is the published table's, interpolated to 30 keV.
    [Fact]
    public void Built_in_spread_is_the_published_one_at_its_energy()
    {
        PublishedSpread published = PublishedSpread.For(30)!;
        Assert.True(published.IsInterpolated);
        Assert.Equal(59, published.Spread.Terms[0].RangeNanometres, 0.5);
        Assert.Equal(4000, published.Spread.Terms[1].RangeNanometres, 50.0);
    }

    [Fact]
    public void A_process_without_spread_and_contrast_is_complete()
    {
        Resist process = ProcessFile.Parse("process: bare\ndose: {area: 1 C/m2, line: 1 nC/cm, dot: 1 fC, onset: 0.5 C/m2}\n", "p.yaml");
        Assert.Null(process.Spread);
        Assert.Null(process.Contrast);
    }

    [Fact]
    public void A_third_gaussian_and_a_tail_follow_the_first_two()
    {
        string yaml = DefaultFiles.ProcessText.Replace("  # middle", "  middle", StringComparison.Ordinal).Replace("  # tail", "  tail", StringComparison.Ordinal);
        Assert.Equal(
            [
                new SpreadTerm(SpreadShape.Gaussian, 59, 1), new SpreadTerm(SpreadShape.Gaussian, 4000, 0.74),
                new SpreadTerm(SpreadShape.Gaussian, 300, 0.1), new SpreadTerm(SpreadShape.Exponential, 1000, 0.05),
            ],
            ProcessFile.Parse(yaml, "p.yaml").Spread!.Terms.ToArray());
    }

    [Theory]
    [InlineData("forward: 59 nm", "forward: 5 um", "'spread.forward' must be the smallest range; forward scattering is narrower than backscattering")]
    [InlineData("clearing: 250 uC/cm2", "clearing: 100 uC/cm2", "'contrast.clearing' must be above 'contrast.onset'; the thickness changes from the onset to the clearing dose")]
    public void Impossible_spreads_and_contrasts_are_refused(string from, string to, string expected)
    {
        string yaml = DefaultFiles.ProcessText.Replace(from, to, StringComparison.Ordinal);
        Assert.Contains(expected, Assert.Throws<CompileException>(() => ProcessFile.Parse(yaml, "p.yaml")).Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("tone: negative\n", "", ResistTone.Negative)]
    [InlineData("", "tone: negative, ", ResistTone.Negative)]
    [InlineData("tone: positive\n", "tone: positive, ", ResistTone.Positive)]
    [InlineData("", "", ResistTone.Positive)]
    public void The_tone_of_a_resist_and_of_its_contrast_curve_is_one(string tone, string curveTone, ResistTone expected)
    {
        Resist process = ProcessFile.Parse(Bare + tone + $"contrast: {{{curveTone}onset: 1 C/m2, clearing: 2 C/m2}}\n", "p.yaml");
        Assert.Equal((expected, expected), (process.Tone, process.Contrast!.Tone));
    }

    [Theory]
    [InlineData("tone: negative\ncontrast: {tone: positive, onset: 1 C/m2, clearing: 2 C/m2}\n", "p.yaml:4:18: error PC0115: 'contrast.tone' differs from 'tone'; a resist has one tone")]
    [InlineData("substrate: silica\n", "p.yaml:3:12: error PC0114")]
    public void A_tone_or_substrate_that_cannot_be_is_refused(string added, string expected) =>
        Assert.StartsWith(expected, Assert.Throws<CompileException>(() => ProcessFile.Parse(Bare + added, "p.yaml")).Message, StringComparison.Ordinal);

    [Fact]
    public void Onset_lies_below_the_area_dose()
    {
        string yaml = DefaultFiles.ProcessText.Replace("onset: 100 uC/cm2", "onset: 400 uC/cm2", StringComparison.Ordinal);
        Assert.StartsWith(
            "p.yaml:10:10: error PC0115: 'dose.onset' is 400 uC/cm2, above the area dose of 300 uC/cm2; the onset is the dose at which the resist starts to react, below the dose that clears it",
            Assert.Throws<CompileException>(() => ProcessFile.Parse(yaml, "p.yaml")).Message,
            StringComparison.Ordinal);
    }
}
