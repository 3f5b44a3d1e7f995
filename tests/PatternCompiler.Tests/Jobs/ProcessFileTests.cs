using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

public sealed class ProcessFileTests
{
    private const string Bare = "process: bare\ndose: {area: 1 C/m2, line: 1 nC/cm, dot: 1 fC}\n";
    private const string Response = "resist: {onset: 0.4 C/m2, clearing: 0.5 C/m2}\n";

    [Fact]
    public void Built_in_process_is_a_positive_resist_at_30_kV()
    {
        Resist process = DefaultFiles.Process;
        Assert.Equal(
            new Resist("positive PMMA on silicon, 30 kV", 3, 1.5e-7, 20e-15, new ResistResponse(ResistTone.Positive, 1, 1.5)),
            process with { Spread = null, Substrate = null });
        Assert.Equal("silicon", process.Substrate!.Name);
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
    public void A_process_without_spread_is_complete() => Assert.Null(ProcessFile.Parse(Bare + Response, "p.yaml").Spread);

    [Theory]
    [InlineData("forward: 59 nm, backscatter: 4 um, ratio: 0.74")]
    [InlineData("alpha: 59 nm, beta: 4 um, eta: 0.74")]
    [InlineData("alpha: 59 nm, backscatter: 4 um, eta: 0.74")]
    public void A_spread_has_plain_words_and_the_letters_of_the_literature(string keys) => Assert.Equal(
        [.. SpreadFunction.TwoGaussian(59, 4000, 0.74).Terms],
        ProcessFile.Parse(Bare + Response + $"spread: {{{keys}}}\n", "p.yaml").Spread!.Terms.ToArray());

    [Fact]
    public void A_word_and_its_letter_together_are_refused() => Assert.StartsWith(
        "p.yaml:4:33: error PC0115: 'forward' and 'alpha' exclude each other; keep one of them",
        Fault(Response + "spread: {forward: 59 nm, alpha: 59 nm, beta: 4 um, eta: 0.74}\n"),
        StringComparison.Ordinal);

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
    [InlineData("forward: 59 nm", "forward: 1.01 mm", "'spread.forward' must be at most 1 mm, but it is 1.01 mm; look for a wrong unit")]
    [InlineData("backscatter: 4 um", "backscatter: 6744073709551616m", "'spread.backscatter' must be at most 1 mm, but it is 6744073709551616m; look for a wrong unit")]
    [InlineData("backscatter: 4 um", "backscatter: 4 um\n  tail: 2 mm\n  tail_ratio: 0.1", "'spread.tail' must be at most 1 mm, but it is 2 mm; look for a wrong unit")]
    [InlineData("clearing: 150 uC/cm2", "clearing: 100 uC/cm2", "'resist.clearing' must be above 'resist.onset'; the thickness changes from the onset to the clearing dose")]
    public void Impossible_spreads_and_responses_are_refused(string from, string to, string expected)
    {
        string yaml = DefaultFiles.ProcessText.Replace(from, to, StringComparison.Ordinal);
        Assert.Contains(expected, Assert.Throws<CompileException>(() => ProcessFile.Parse(yaml, "p.yaml")).Message, StringComparison.Ordinal);
    }

    // A negative resist prints where half of it remains: at the geometric mean, as thickness is straight against log(dose).
    [Theory]
    [InlineData("onset: 1 C/m2, clearing: 4 C/m2", ResistTone.Positive, 4)]
    [InlineData("tone: positive, contrast: 1.6609640474436813, clearing: 4 C/m2, thickness: 200 nm", ResistTone.Positive, 4)]
    [InlineData("tone: negative, onset: 1 C/m2, clearing: 4 C/m2", ResistTone.Negative, 2)]
    [InlineData("tone: negative, gel: 1 C/m2, retention: 4 C/m2", ResistTone.Negative, 2)]
    [InlineData("tone: negative, contrast: 1.6609640474436813, retention: 4 C/m2", ResistTone.Negative, 2)]
    public void One_response_says_what_prints(string resist, ResistTone tone, double printing)
    {
        ResistResponse response = ProcessFile.Parse(Bare + $"resist: {{{resist}}}\n", "p.yaml").Response;
        Assert.Equal((tone, 1.0, 4.0), (response.Tone, Math.Round(response.OnsetCoulombsPerSquareMetre, 12), response.ClearingCoulombsPerSquareMetre));
        Assert.Equal(printing, response.PrintingCoulombsPerSquareMetre, 12);
        Assert.Equal(tone == ResistTone.Positive ? 0 : 0.5, response.RemainingFraction(response.PrintingCoulombsPerSquareMetre), 12);
        Assert.Equal(resist.Contains("thickness", StringComparison.Ordinal) ? 200 : null, response.ThicknessNanometres);
    }

    [Theory]
    [InlineData("", "p.yaml:1:1: error PC0113: the file has no 'resist'; add 'resist:' with its value")]
    [InlineData("resist: {onset: 1 C/m2}\n", "p.yaml:3:9: error PC0113: 'resist' has no 'clearing'; add 'clearing:' with its value")]
    [InlineData("resist: {onset: 1 C/m2, contrast: 3, clearing: 2 C/m2}\n", "p.yaml:3:35: error PC0115: 'onset' and 'contrast' exclude each other; keep one of them")]
    [InlineData("resist: {gel: 1 C/m2, clearing: 2 C/m2}\n", "p.yaml:3:15: error PC0115: 'gel' is a dose of a negative resist; write 'onset', or 'tone: negative' beside it")]
    [InlineData("resist: {tone: negative, gel: 1 C/m2}\n", "p.yaml:3:9: error PC0113: 'resist' has no 'retention'; add 'retention:' with its value")]
    [InlineData("resist: {tone: negative, gel: 2 C/m2, retention: 1 C/m2}\n", "p.yaml:3:50: error PC0115: 'resist.retention' must be above 'resist.gel'; the thickness changes from the gel to the retention dose")]
    [InlineData("resist: {tone: negative, gel: 1 C/m2, contrast: 3, retention: 2 C/m2}\n", "p.yaml:3:49: error PC0115: 'gel' and 'contrast' exclude each other; keep one of them")]
    [InlineData("resist: {tone: negative, gel: 1 C/m2, clearing: 3 C/m2, retention: 2 C/m2}\n", "p.yaml:3:68: error PC0115: 'clearing' and 'retention' exclude each other; keep one of them")]
    [InlineData("resist: {tone: neutral, onset: 1 C/m2, clearing: 2 C/m2}\n", "p.yaml:3:16: error PC0114")]
    [InlineData(Response + "substrate: silica\n", "p.yaml:4:12: error PC0114")]
    public void A_resist_that_cannot_be_is_refused(string added, string expected) =>
        Assert.StartsWith(expected, Fault(added), StringComparison.Ordinal);

    [Theory]
    [InlineData("dose: {area: 1 C/m2, line: 1 nC/cm, dot: 1 fC, onset: 0.5 C/m2}\n", "p.yaml:2:55", "positive, onset: 0.5 C/m2, clearing: ...")]
    [InlineData("dose: {area: 1 C/m2, line: 1 nC/cm, dot: 1 fC}\ntone: negative\n", "p.yaml:3:7", "negative, onset: ..., clearing: ...")]
    [InlineData("dose: {area: 3 C/m2, line: 1 nC/cm, dot: 1 fC, onset: 1 C/m2}\ncontrast: {tone: negative, onset: 1.5 C/m2, clearing: 2.5 C/m2}\n", "p.yaml:2:55", "negative, onset: 1.5 C/m2, clearing: 2.5 C/m2")]
    public void A_file_of_an_earlier_version_gets_one_message_with_its_own_values(string rest, string place, string values) => Assert.StartsWith(
        $"{place}: error PC0171: 'dose.onset', 'tone' and 'contrast' are one section 'resist' now, which always says which dose clears; take them out and write "
        + $"'resist: {{tone: {values}}}', clearing being the dose that just clears a large area; 'dose.area' should be about twice that, because edges receive half of it",
        Assert.Throws<CompileException>(() => ProcessFile.Parse("process: bare\n" + rest, "p.yaml")).Message,
        StringComparison.Ordinal);

    private static string Fault(string added) => Assert.Throws<CompileException>(() => ProcessFile.Parse(Bare + added, "p.yaml")).Message;
}
