using System.Text.RegularExpressions;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>
/// The protocol between sender and receiver, checked for every course of events of a small exposure by the model checker SPIN
/// (Debian's package), and the check itself checked by breaking one rule of the page at a time.
/// </summary>
public sealed partial class LinkModelTests
{
    private const string OneRun = "-DKILLS=0 -DRUNS=1";

    private static readonly string[] BrokenRules =
    [
        $"-DWRONG_RECEIVER_SKIPS_CRC {OneRun}",
        $"-DWRONG_RECEIVER_IGNORES_GAPS {OneRun}",
        $"-DWRONG_RECEIVER_KEEPS_BLOCKS {OneRun}",
        $"-DWRONG_RECEIVER_STARVES_WITH_BEAM {OneRun}",
        $"-DWRONG_RECEIVER_STARTS_WITH_BEAM {OneRun}",
        $"-DWRONG_RECEIVER_HIDES_CUT {OneRun}",
        $"-DWRONG_SENDER_EXCEEDS_CREDIT {OneRun}",
        "-DWRONG_SENDER_TAKES_OLD_MESSAGES -DFAULTS=0",
        $"-DWRONG_SENDER_HURRIES_HEADER {OneRun}",
        $"-DWRONG_SENDER_BELIEVES_OLD_DONE -DEARLIER {OneRun}",
        $"-DWRONG_SENDER_IGNORES_RESET {OneRun}",
        $"-DWRONG_SENDER_REPEATS_CUT {OneRun}",
        $"-DWRONG_SENDER_CLAIMS_UNKNOWN {OneRun}",
        $"-DWRONG_SENDER_BELIEVES_DONE -DLYING_RECEIVER_DONE_EARLY {OneRun}",
        $"-DWRONG_SENDER_BELIEVES_MORE -DLYING_RECEIVER_CLAIMS_MORE {OneRun}",
    ];

    // The numbers of the blocks already tell a receiver that it has them all; the totals guard against a wrong writer, and
    // there is none in the model.
    private static readonly string[] RedundantRules = [$"-DWRONG_RECEIVER_SKIPS_TOTALS {OneRun}"];

    /// <summary>Variants with what is broken: one rule of the page each.</summary>
    public static TheoryData<string> Broken => [.. BrokenRules];

    /// <summary>Broken and not noticed.</summary>
    public static TheoryData<string> Redundant => [.. RedundantRules];

    /// <summary>Receivers that break the page; the sender sees through them.</summary>
    public static TheoryData<string> Liars => [$"-DLYING_RECEIVER_DONE_EARLY {OneRun}", $"-DLYING_RECEIVER_CLAIMS_MORE {OneRun}"];

    /// <summary>Minutes of a busy machine: 6.9 million states. Nothing less is exhaustive.</summary>
    [SpinTheory]
    [InlineData("-DKILLS=0 -DRUNS=1 -DFAULTS=2", "-DKILLS=0 -DRUNS=1 -DFAULTS=2 -DEARLIER", "-DFAULTS=0", "-DKILLS=0")]
    public void Nothing_is_written_twice_nothing_untrue_is_told_and_the_beam_is_off_in_doubt(params string[] variants)
    {
        HashSet<int>? never = null;
        foreach (string variant in variants)
        {
            LinkModel model = LinkModel.Run(variant, "-O2");
            Assert.True(model.IsExhaustive && model.Errors == 0, model.Text);
            Assert.InRange(model.States, 1_000_000, 20_000_000);
            never ??= model.Unreached;
            never.IntersectWith(model.Unreached);
        }

        // What no course of events reaches is not checked. Only a receiver that breaks the page gets to these lines.
        string[] lines = File.ReadAllLines(LinkModel.Source);
        IEnumerable<int> marked = Enumerable.Range(1, lines.Length).Where(n => lines[n - 1].Contains("only a liar gets here", StringComparison.Ordinal));
        Assert.Equal(marked, never!.Order());
    }

    [SpinTheory]
    [InlineData("-DSOUND")]
    [InlineData("-DSOUND -DEARLIER")]
    public void Over_a_sound_link_everything_is_written(string variant)
    {
        LinkModel model = LinkModel.Run(variant, "-O0");
        Assert.True(model.IsExhaustive && model.Errors == 0, model.Text);
    }

    [SpinTheory]
    [MemberData(nameof(Broken))]
    public void A_broken_rule_is_noticed(string variant) => Assert.Equal(1, LinkModel.Run(variant, "-O0").Errors);

    [SpinTheory]
    [MemberData(nameof(Redundant))]
    [MemberData(nameof(Liars))]
    public void What_is_redundant_or_seen_through_does_no_harm(string variant)
    {
        LinkModel model = LinkModel.Run(variant, "-O1");
        Assert.True(model.IsExhaustive && model.Errors == 0, model.Text);
    }

    [Fact]
    public void The_page_names_every_rule_that_the_model_can_break_and_no_other()
    {
        string page = File.ReadAllText(Path.Combine(Path.GetDirectoryName(LinkModel.Source)!, "README.md"));
        string[] inModel = Names(File.ReadAllText(LinkModel.Source));
        Assert.Equal(inModel, Names(page));
        Assert.Equal(inModel, Names(string.Join(' ', [.. BrokenRules, .. RedundantRules])));
    }

    private static string[] Names(string text) => [.. WrongName().Matches(text).Select(match => match.Value).Distinct().Order(StringComparer.Ordinal)];

    [GeneratedRegex("WRONG_[A-Z][A-Z_]*[A-Z]")]
    private static partial Regex WrongName();
}
