using System.Collections.Immutable;
using System.Reflection;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs;

/// <summary>Words of choices stand in one table each, and everything takes them from there.</summary>
public sealed class ChoicesTests
{
    private static readonly Choice<int> Made = new(("off axis", 1), ("on axis", 2), ("tilted", 3));

    public static TheoryData<string> Names { get; } = new(typeof(Choices).GetProperties(BindingFlags.Public | BindingFlags.Static).Select(property => property.Name));

    private static YamlNode Value(string word) => YamlText.Parse($"beam: {word}", "a.yaml").AsMapping().Required("beam");

    // The first line of a message; the line of the file follows it.
    private static string Told(Func<object> read) => Assert.Throws<CompileException>(read).Diagnostic.ToString().Split('\n')[0];

    [Fact]
    public void A_choice_that_is_made_up_is_read_named_and_listed()
    {
        Assert.Equal([1, 2, 3], Made.Words.Select(word => Value(word).AsChoice(Made)));
        Assert.Equal<string>(["off-axis", "on-axis", "tilted"], Made.OptionWords);
        Assert.Equal("off axis, on axis or tilted", Made.Alternatives);
        Assert.Equal("off-axis, on-axis or tilted", Made.OptionAlternatives);
        Assert.Equal("on axis", Made.WordOf(2));
        Assert.True(Made.TryOption("on-axis", out int dashed) && Made.TryOption("on axis", out int plain) && (dashed, plain) == (2, 2));
        Assert.False(Made.TryWord("on-axis", out _));
        Assert.False(Made.TryOption("On-axis", out _));
        Assert.Equal(
            "a.yaml:1:7: error PC0114: 'beam' must be one of 'off axis', 'on axis', 'tilted', but it is 'on axi'; did you mean 'on axis'?",
            Told(() => (object)Value("on axi").AsChoice(Made)));
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Each_word_of_a_choice_is_explained_in_a_built_in_file(string name)
    {
        object choice = typeof(Choices).GetProperty(name)!.GetValue(null)!;
        var words = (ImmutableArray<string>)choice.GetType().GetProperty(nameof(Choice<int>.Words))!.GetValue(choice)!;
        string all = DefaultFiles.MachineText + DefaultFiles.ProcessText + DefaultFiles.JobText;
        Assert.Equal(words.Length, words.Distinct().Count());
        Assert.All(words, word => Assert.Matches($@"\b{System.Text.RegularExpressions.Regex.Escape(word)}\b", all));
    }

    [Fact]
    public void Fields_of_words_are_explained_in_the_built_in_machine_file() =>
        Assert.All(WordLayout.Contents.Words, word => Assert.Matches($@"\b{word}\b", DefaultFiles.MachineText));

    [Fact]
    public void A_key_is_known_by_being_read()
    {
        static int Read(YamlMapping root)
        {
            root.Optional("width");
            root.Accept("comment");
            return root.Optional("parts") is YamlNode parts ? parts.AsList().Sum(part => (int)part.AsMapping().Required("count").AsInteger(0, 9)) : 0;
        }

        Assert.Equal(7, YamlText.Read("width: 3\ncomment: x\nparts:\n  - count: 2\n  - count: 5\n", "a.yaml", Read));
        Assert.Equal(
            "a.yaml:2:1: error PC0111: unknown key 'widht'; did you mean 'width'?",
            Told(() => (object)YamlText.Read("comment: 1\nwidht: 2\n", "a.yaml", Read)));
        Assert.Equal(
            "a.yaml:3:5: error PC0111: unknown key 'colour' in 'parts[1]'; known here: count",
            Told(() => (object)YamlText.Read("parts:\n  - count: 1\n    colour: 2\n", "a.yaml", Read)));
        Assert.Equal(
            "a.yaml:2:5: error PC0111: unknown key 'coutn' in 'parts[1]'; did you mean 'count'?",
            Told(() => (object)YamlText.Read("parts:\n  - coutn: 1\n", "a.yaml", Read)));
    }
}
