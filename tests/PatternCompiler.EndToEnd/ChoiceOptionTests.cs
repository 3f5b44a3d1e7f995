using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Units;

namespace PatternCompiler.EndToEnd;

/// <summary>An option takes its words from the choice that files take them from: a choice that is made up is found in help, completions and errors.</summary>
public sealed class ChoiceOptionTests
{
    private static readonly Choice<int> Made = new(("off axis", 1), ("on axis", 2), ("tilted", 3));

    private static (ChoiceOption<int> Option, ParseResult Result) Parsed(bool hasDefault, params string[] line)
    {
        ChoiceOption<int> option = hasDefault ? ChoiceOption<int>.Create("--beam", "Where.", Made) : ChoiceOption<int>.CreateOptional("--beam", "Where.", Made);
        return (option, new Command("probe") { option }.Parse(line));
    }

    [Theory]
    [InlineData("off-axis", 1)]
    [InlineData("on-axis", 2)]
    [InlineData("on axis", 2)]
    [InlineData("tilted", 3)]
    public void Each_word_is_taken_as_files_write_it_and_with_dashes(string word, int expected)
    {
        (ChoiceOption<int> option, ParseResult result) = Parsed(hasDefault: false, "--beam", word);
        Assert.Empty(result.Errors);
        Assert.Equal((expected, expected), (option.In(result), option.In(result, 9)));
    }

    [Fact]
    public void A_wrong_word_is_told_with_all_that_there_are() =>
        Assert.Equal(
            ["option '--beam' takes off-axis, on-axis or tilted, not 'tiled' (did you mean 'tilted'?)"],
            Parsed(hasDefault: false, "--beam", "tiled").Result.Errors.Select(error => error.Message));

    [Fact]
    public void Where_it_is_left_out_the_first_word_or_what_the_caller_says_holds()
    {
        (ChoiceOption<int> usual, ParseResult none) = Parsed(hasDefault: true);
        Assert.Equal((1, 1), (usual.In(none), usual.In(none, 9)));
        (ChoiceOption<int> optional, none) = Parsed(hasDefault: false);
        Assert.Equal((1, 9), (optional.In(none), optional.In(none, 9)));
    }

    [Fact]
    public void Help_and_completions_show_the_words()
    {
        (ChoiceOption<int> option, ParseResult result) = Parsed(hasDefault: false, "--beam", "");
        Assert.Equal("off-axis|on-axis|tilted", option.HelpName);
        Assert.Equal(["off-axis", "on-axis", "tilted"], option.CompletionSources.SelectMany(source => source(System.CommandLine.Completions.CompletionContext.Empty)).Select(item => item.Label));
        Assert.NotEmpty(result.Errors);
    }
}
