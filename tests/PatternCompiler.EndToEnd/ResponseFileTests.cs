using PatternCompiler.Cli.Arguments;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.EndToEnd;

/// <summary>Words of a command line from a file.</summary>
public sealed class ResponseFileTests
{
    [Theory]
    [InlineData("", "")]
    [InlineData("a b\n\tc\r\n d", "a|b|c|d")]
    [InlineData("--field \"80 um\"", "--field|80 um")]
    [InlineData("'it is \"so\"' x\"y z\"w", "it is \"so\"|xy zw")]
    [InlineData("# all of this\na # and this\nb#c", "a|b#c")]
    [InlineData("\"\" @nested", "|@nested")]
    public void Words_are_separated_by_blanks_and_line_ends(string text, string words) =>
        Assert.Equal(words, string.Join('|', ResponseFile.Split(text, "f")));

    [Fact]
    public void A_quote_must_end_on_its_line()
    {
        CompileException failure = Assert.Throws<CompileException>(() => ResponseFile.Split("a\n\"b\nc\"", "words.txt"));
        Assert.Equal("words.txt:2: error PC0001: the quote \" has no partner on its line; close it, or put the word into quotes of the other kind", failure.Diagnostic.ToString());
    }

    [Fact]
    public void A_file_stands_for_the_words_in_it()
    {
        using WorkFolder folder = new WorkFolder()
            .With("a.layout", Patterns.Layout)
            .With("finely.txt", "# for the new resist\n--line-pitch \"8 nm\"\n--point-step '8 nm'\n");
        folder.Run("build", "a.layout", "--line-pitch", "8 nm", "--point-step", "8 nm", "-o", "typed.stream").Expect(0);
        folder.Run("build", "a.layout", "@finely.txt", "-o", "read.stream").Expect(0);
        Assert.Equal(folder.Read("typed.stream"), folder.Read("read.stream"));

        // Words from a file are not looked at again.
        Assert.Equal(
            "patternc build: error PC0001: unexpected argument '@finely.txt'; see 'patternc build --help'\n",
            folder.Pipe("build a.layout @finely.txt"u8.ToArray(), "@-").Expect(2).Errors);
    }

    [Fact]
    public void Another_program_can_list_the_jobs()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        foreach (string name in (string[])["one", "two", "other"])
        {
            folder.With($"{name}.yaml", $"job: {name}\nsources: [a.layout]\noutputs: [{{file: {name}.stream, format: stream}}]\n");
        }

        Assert.EndsWith("2 built, 0 up to date, 0 failed\n", Executable.Shell(folder.Path, "printf 'one.yaml\\ntwo.yaml\\n' | patternc batch @-").Expect(0).Errors, StringComparison.Ordinal);
        Assert.EndsWith("1 built, 2 up to date, 0 failed\n", Executable.Shell(folder.Path, "printf 'batch: all\\njobs: \"*.yaml\"\\n' | patternc batch -").Expect(0).Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void A_job_can_come_from_standard_input()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        folder.Pipe("job: piped\nsources: [a.layout]\noutputs: [{file: a.stream, format: stream}]\n"u8.ToArray(), "build").Expect(0);
        folder.Run("build", "a.layout", "-o", "b.stream").Expect(0);
        Assert.Equal(folder.Read("b.stream"), folder.Read("a.stream"));
    }

    [Theory]
    [InlineData("build @missing.txt", 4, "missing.txt: error PC0002: there is no such file; check the name\n")]
    [InlineData("@@build", 2, "patternc: error PC0001: unknown command '@build'; did you mean 'build'? see 'patternc --help'\n")]
    [InlineData("@", 2, "patternc: error PC0001: unknown command '@'; see 'patternc --help'\n")]
    public void What_is_wrong_is_told(string line, int code, string message)
    {
        using var folder = new WorkFolder();
        Outcome outcome = folder.Run(line.Split(' ')).Expect(code);
        Assert.Equal(message, outcome.Errors);
        Assert.Empty(outcome.OutputBytes);
    }
}
