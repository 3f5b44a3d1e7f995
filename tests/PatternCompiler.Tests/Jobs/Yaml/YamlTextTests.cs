using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Tests.Jobs.Yaml;

public sealed class YamlTextTests
{
    private static string ErrorOf(string yaml) =>
        Assert.Throws<CompileException>(() => YamlText.Read(yaml, "a.yaml", root => root.Among(["one", "two", "list"]))).Message;

    [Theory]
    [InlineData("a: 1\r\nb: 2\nc: 3")]
    [InlineData("a: 1\nb: 2\rc: 3")]
    public void Lines_are_quoted_from_the_first_to_the_last(string text)
    {
        var source = new YamlSource("m.yaml", text);
        Assert.Equal([null, "a: 1", "b: 2", "c: 3", null, null], new[] { 0, 1, 2, 3, 4, int.MaxValue }.Select(source.LineText));
        Assert.Null(source.LineText(-1));
    }

    [Fact]
    public void Nodes_know_their_place_and_path()
    {
        YamlMapping root = YamlText.Parse("one: 1\nlist:\n  - x\n  - two: 2\n", "a.yaml").AsMapping();
        YamlNode second = root.Required("list").AsList()[1].AsMapping().Required("two");
        Assert.Equal("list[2].two", second.Path);
        Assert.Equal((4, 10), (second.Line, second.Column));
        Assert.Equal(2, second.AsInteger(0, 9));
    }

    [Fact]
    public void Unknown_key_names_place_and_nearest() => Assert.Equal(
        "a.yaml:2:1: error PC0111: unknown key 'tow'; did you mean 'two'?\n    tow: 2\n    ^", ErrorOf("one: 1\ntow: 2\n"));

    [Fact]
    public void Unknown_key_without_a_near_one_lists_all() => Assert.Equal(
        "a.yaml:1:1: error PC0111: unknown key 'colour'; known here: one, two, list\n    colour: red\n    ^", ErrorOf("colour: red\n"));

    [Fact]
    public void Duplicate_key_names_both_lines() => Assert.Equal(
        "a.yaml:3:1: error PC0112: the key 'one' is given twice, first in line 1; keep one of them\n    one: 3\n    ^",
        ErrorOf("one: 1\ntwo: 2\none: 3\n"));

    /// <summary>Columns count as editors of text count them, in UTF-16; lines end with any of the three breaks.</summary>
    [Theory]
    [InlineData("\u0001", 1, 1)]
    [InlineData("one: \u0001", 1, 6)]
    [InlineData("one: 1\ntwo: \u0001", 2, 6)]
    [InlineData("one: 1\r\n\r\ntwo:\u0001", 3, 5)]
    [InlineData("one: 1\r\rtwo\u0001", 3, 4)]
    [InlineData("one: 1\r\u0001", 2, 1)]
    [InlineData("# \U0001F600\u0001", 1, 5)]
    public void Characters_that_no_editor_shows_are_found(string yaml, int line, int column) => Assert.StartsWith(
        $"a.yaml:{line}:{column}: error PC0110: the character U+0001, which no editor shows, stands here; delete it", ErrorOf(yaml), StringComparison.Ordinal);

    /// <summary>Half of a character of UTF-16 is none, at the end of the text as elsewhere; a single carriage return ends the last line.</summary>
    [Fact]
    public void Half_a_character_is_found_wherever_it_stands()
    {
        foreach ((string half, string code) in new[] { ("\uD83D", "D83D"), ("\uDE00", "DE00"), ("\uD83D\uD83D", "D83D"), ("\uDE00\uD83D", "DE00") })
        {
            Assert.StartsWith($"a.yaml:1:6: error PC0110: the character U+{code}, which no editor shows, stands here", ErrorOf("one: " + half), StringComparison.Ordinal);
            Assert.StartsWith($"a.yaml:2:1: error PC0110: the character U+{code}, which no editor shows, stands here", ErrorOf("one: 1\r" + half + "\n"), StringComparison.Ordinal);
        }

        Assert.Equal("\U0001F600", YamlText.Parse("one: \U0001F600", "a.yaml").AsMapping().Required("one").AsText());
        Assert.Equal("x", YamlText.Parse("one: x\r", "a.yaml").AsMapping().Required("one").AsText());
    }

    [Theory]
    [InlineData("", "a.yaml: error PC0110: the file is empty")]
    [InlineData("# only a comment\n", "a.yaml: error PC0110: the file is empty")]
    [InlineData("a\0b", "a.yaml: error PC0110: the file is binary, not YAML text; check the file name")]
    [InlineData("just text", "a.yaml:1:1: error PC0114: the file must be a mapping of keys to values, but it is 'just text'; write its keys below it, one a line and further in, each as 'key: value'\n    just text\n    ^")]
    [InlineData("one: 1\n---\ntwo: 2\n", "a.yaml:2:1: error PC0110: a second document starts here\n    ---\n    ^")]
    [InlineData("one: !!int 1\n", "a.yaml:1:6: error PC0110: tags such as 'tag:yaml.org,2002:int' are not used here\n    one: !!int 1\n         ^")]
    [InlineData("one: *nowhere\n", "a.yaml:1:6: error PC0110: '*nowhere' refers to an anchor that is not complete above it\n    one: *nowhere\n         ^")]
    [InlineData("one: &a [*a]\n", "a.yaml:1:10: error PC0110: '*a' refers to an anchor that is not complete above it\n    one: &a [*a]\n             ^")]
    [InlineData("? [x]\n: 1\n", "a.yaml:1:3: error PC0110: a key must be a plain word\n    ? [x]\n      ^")]
    public void Refuses_what_is_not_a_settings_file(string yaml, string expected) => Assert.Equal(expected, ErrorOf(yaml));

    [Fact]
    public void A_text_is_at_most_4_MiB_long()
    {
        const int Longest = 4 * 1024 * 1024;
        Assert.Equal("a.yaml: error PC0110: the file has 4194305 characters; at most 4194304 are accepted; check the file name", ErrorOf("#" + new string('x', Longest)));
        Assert.Equal("a.yaml: error PC0110: the file is empty", ErrorOf("#" + new string('x', Longest - 1)));
    }

    [Theory]
    [InlineData("one: [1, 2\n")]
    [InlineData("list:\n  - [1,\n2,\n3\n")]
    [InlineData("list: [\n1,\n2")]
    [InlineData("one: 'x\n")]
    [InlineData("one:\n\ttwo: 1\n")]
    [InlineData("one: 1\n  two: 2\n")]
    [InlineData("%YAML 9.9\n")]
    public void Syntax_errors_have_a_place_and_no_stack_trace(string yaml)
    {
        string message = ErrorOf(yaml);
        Assert.Matches(@"^a\.yaml:\d+:\d+: error PC0110: [^\n]+(\n    .*\n *\^)?$", message);
    }

    [Theory]
    [InlineData("one: x\nlist: [\na.dxf\n]\n")]
    [InlineData("one: x\nlist: [\na.dxf]\n")]
    [InlineData("one: x\nlist:\n- [\n\na.dxf\n]\n")]
    [InlineData("one: x\nlist: [ # which\n# drawing\na.dxf\n,\n]\n")]
    public void Between_brackets_the_place_of_a_line_means_nothing(string yaml)
    {
        YamlNode list = YamlText.Parse(yaml, "a.yaml").AsMapping().Required("list");
        YamlNode item = list.AsList()[0] is YamlList inner ? inner.Items[0] : list.AsList()[0];
        Assert.Equal("a.dxf", item.AsText());
        Assert.Equal(1, item.Column);
        Assert.Equal("a.dxf", item.Source.LineText(item.Line)![..5]);
    }

    [Fact]
    public void Many_lines_at_the_margin_between_brackets_are_read()
    {
        string lines = string.Join("", Enumerable.Range(0, 500).Select(i => $"{{two: {i}}},\n"));
        Assert.Equal(500, YamlText.Parse($"list: [\n{lines}]\none:\n  two: [\na, b\n]\n", "a.yaml").AsMapping().Required("list").AsList().Count);
    }

    [Fact]
    public void A_word_over_two_lines_between_brackets_is_one() => Assert.Equal(
        "a b", YamlText.Parse("list: [a\nb]\n", "a.yaml").AsMapping().Required("list").AsList()[0].AsText());

    [Theory]
    [InlineData("one: x\nlist: [a.dxf\ntwo: {one: 6 codes}\n", "the '[' of line 2, column 7 is not closed before this: ")]
    [InlineData("one: [\nn", "the '[' of line 1, column 6 is not closed before this: ")]
    [InlineData("one: {two: [1, 2}\n", "the '[' of line 1, column 12 is not closed before this: ")]
    [InlineData("one: {two: 1\n", "the '{' of line 1, column 6 is not closed before this: ")]
    [InlineData("- : a\n", "a key is missing here")]
    [InlineData("one: 1\n: 2\n", "a key is missing here")]
    [InlineData("one: a\u2028b\n", "the character U+2028, which no editor shows, stands here")]
    [InlineData("one: 1\n\uFEFFtwo: 2\n", "the character U+FEFF, which no editor shows, stands here")]
    [InlineData("one: \u001B[31m\n", "the character U+001B, which no editor shows, stands here")]
    public void What_is_not_closed_or_cannot_be_seen_is_named(string yaml, string problem)
    {
        string message = ErrorOf(yaml);
        Assert.Contains("error PC0110: " + problem, message, StringComparison.Ordinal);
        Assert.Matches(@"^a\.yaml:\d+:\d+: ", message);
    }

    [Fact]
    public void A_bracket_that_is_open_at_the_end_is_shown_there() => Assert.Equal(
        "a.yaml:2:2: error PC0110: the '[' of line 1, column 6 is not closed before this: while parsing a flow sequence, did not find expected ',' or ']'; "
        + "close it with ']', or put a comma between its values\n    n\n     ^",
        ErrorOf("one: [\nn"));

    [Fact]
    public void Bytes_that_are_no_UTF_8_are_named() => Assert.Equal(
        "a.yaml:2:7: error PC0855: byte 15 is FF hex, which is no UTF-8 text at this place; save the file as UTF-8, or check that it is the right file\n    two: é\uFFFD\n          ^",
        Assert.Throws<CompileException>(() => YamlText.Load(new MemoryStream([.. "one: 1\n"u8, .. "two: é"u8.ToArray()[..7], 0xFF, (byte)'\n']), "a.yaml")).Message);

    [Fact]
    public void Aliases_stand_for_their_anchor()
    {
        YamlMapping root = YamlText.Parse("one: &x {two: 7}\ntwo: *x\n", null).AsMapping();
        Assert.Equal(7, root.Required("two").AsMapping().Required("two").AsInteger(0, 9));
    }

    [Fact]
    public void An_alias_bomb_ends_in_an_error()
    {
        var yaml = new System.Text.StringBuilder("a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n");
        for (int i = 1; i < 20; i++)
        {
            yaml.Append($"a{i}: &a{i} [").AppendJoin(", ", Enumerable.Repeat($"*a{i - 1}", 10)).Append("]\n");
        }

        Assert.Contains("expands to more than 200000 values", ErrorOf(yaml.ToString()), StringComparison.Ordinal);
    }

    [Fact]
    public void Deep_nesting_ends_in_an_error() =>
        Assert.Contains("nested more than 32 levels deep", ErrorOf("one: " + new string('[', 5000)), StringComparison.Ordinal);

    [Fact]
    public void Flags_are_yes_and_no()
    {
        YamlMapping root = YamlText.Parse("one: yes\ntwo: false\nlist: maybe\n", "a.yaml").AsMapping();
        Assert.True(root.Required("one").AsFlag());
        Assert.False(root.Required("two").AsFlag());
        Assert.Equal(
            "a.yaml:3:7: error PC0114: 'list' must be one of 'yes', 'no', 'true', 'false', but it is 'maybe'\n    list: maybe\n          ^",
            Assert.Throws<CompileException>(() => root.Required("list").AsFlag()).Message);
    }

    /// <summary>What stands in the place of a mapping is shown as it is.</summary>
    [Theory]
    [InlineData("x", "'x'")]
    [InlineData("xy", "'xy'")]
    [InlineData("\"\"", "empty")]
    public void A_value_is_shown_in_quotes(string value, string shown) => Assert.Contains(
        $"must be a list, but it is {shown}",
        Assert.Throws<CompileException>(() => YamlText.Parse($"from: {value}", "j.yaml").AsMapping().Required("from").AsList()).Message,
        StringComparison.Ordinal);
}
