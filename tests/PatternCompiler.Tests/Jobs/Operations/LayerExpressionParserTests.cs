using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Operations;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Tests.Jobs.Operations;

public sealed class LayerExpressionParserTests
{
    private static string Show(LayerExpression expression) => expression switch
    {
        LayerArea layer => layer.Name,
        RectangleArea r => $"[{r.XLeftNanometres} {r.YBottomNanometres} {r.XRightNanometres} {r.YTopNanometres}]",
        FrameArea frame => $"frame({frame.MarginNanometres} {frame.Name})",
        MovedArea m => $"moved({m.DistanceNanometres} {Show(m.Area)})",
        CombinedArea c => $"{c.Operation}({Show(c.First)}, {Show(c.Second)})",
        _ => "?",
    };

    private static LayerExpression Parse(string text)
    {
        string quoted = text.Replace("'", "''", StringComparison.Ordinal);
        return LayerExpressionParser.Parse(YamlText.Parse($"from: '{quoted}'", "j.yaml").AsMapping().Required("from"));
    }

    [Theory]
    [InlineData("pads", "pads")]
    [InlineData("\"fine lines\"", "fine lines")]
    [InlineData("a with b without c", "Difference(Union(a, b), c)")]
    [InlineData("a with (b without c)", "Union(a, Difference(b, c))")]
    [InlineData("a inside(b xor c)", "Intersection(a, SymmetricDifference(b, c))")]
    [InlineData("rectangle (1 um, 2um) (-3 nm, 0 nm) without \"with\"", "Difference([-3 0 1000 2000], with)")]
    [InlineData("a grown by 10 nm without (b with c) shrunk by 5nm grown by 1 nm", "Difference(moved(10 a), moved(1 moved(-5 Union(b, c))))")]
    [InlineData("frame 5 um around pads without pads", "Difference(frame(5000 pads), pads)")]
    public void Reads_areas_in_words(string text, string expected) => Assert.Equal(expected, Show(Parse(text)));

    [Theory]
    [InlineData(64, true)]
    [InlineData(65, false)]
    public void Brackets_lie_inside_each_other_as_deep_as_64(int depth, bool isRead)
    {
        string text = new string('(', depth) + "a" + new string(')', depth);
        Assert.Equal(isRead, Record.Exception(() => Parse(text)) is null);
        Assert.Equal(isRead, Record.Exception(() => Parse($"{text} with {text}")) is null);
        if (!isRead)
        {
            Assert.Contains("fewer brackets inside each other", Assert.Throws<CompileException>(() => Parse(text)).Message, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("a with b without c")]
    [InlineData("a with (b without c)")]
    [InlineData("rectangle (1 um, 2 um) (-3 nm, 0 nm) without \"with\"")]
    [InlineData("(a grown by 10 nm) without (b with c) shrunk by 5 nm grown by 1 nm")]
    [InlineData("frame 5 um around pads without \"fine lines\"")]
    public void Blanks_between_words_and_marks_are_as_many_as_one_likes(string text)
    {
        // Not those inside a quoted name.
        string[] parts = text.Split('"');
        string Changed(Func<string, string> change) => string.Join('"', parts.Select((part, i) => i % 2 == 0 ? change(part) : part));
        string wide = Changed(p => p.Replace(" ", "   ", StringComparison.Ordinal).Replace("(", " ( ", StringComparison.Ordinal).Replace(")", " ) ", StringComparison.Ordinal).Replace(",", " , ", StringComparison.Ordinal));
        string narrow = Changed(p => p.Replace(" (", "(", StringComparison.Ordinal).Replace(") ", ")", StringComparison.Ordinal).Replace(", ", ",", StringComparison.Ordinal));
        Assert.Equal(Show(Parse(text)), Show(Parse($"  {wide}  ")));
        Assert.Equal(Show(Parse(text)), Show(Parse(narrow)));
        Assert.Equal(Show(Parse(text)), Show(Parse(Changed(p => p.Replace(' ', '\t')))));
    }

    [Theory]
    [InlineData("a b", "PC0123: 'from' is 'a b': expected 'with', 'without', 'inside', 'xor', 'grown' or 'shrunk', found 'b'; write for example pads with fingers without holes")]
    [InlineData("a with", "PC0123: 'from' is 'a with': expected a layer name, found the end; write for example pads with fingers without holes")]
    [InlineData("(a with b", "PC0123: 'from' is '(a with b': expected ')', found the end; write for example pads with fingers without holes")]
    [InlineData("without a", "PC0123: 'from' is 'without a': expected a layer name, found 'without a'; write for example pads with fingers without holes")]
    [InlineData("\"a", "PC0123: 'from' is '\"a': expected a layer name and a closing quote, found '\"a'; write for example pads with fingers without holes")]
    [InlineData("rectangle (1, 2 um) (3 um, 4 um)", "PC0102: an area in 'from' needs a length, but '1' has no unit; write for example 20 nm")]
    [InlineData("rectangle (1 um, 2 um) (1 um, 4 um)", "PC0115: a rectangle in 'from' has no area; give it two opposite corners")]
    [InlineData("a grown by 10", "PC0102: an area in 'from' needs a length, but '10' has no unit; write for example 20 nm")]
    [InlineData("a grown 10 nm", "PC0123: 'from' is 'a grown 10 nm': expected 'by', found '10 nm'; write for example pads with fingers without holes")]
    [InlineData("frame -1 um around a", "PC0115: the margin of a frame in 'from' is negative")]
    public void Errors_say_what_was_expected(string text, string expected)
    {
        string message = Assert.Throws<CompileException>(() => Parse(text)).Message.Split('\n')[0];
        Assert.Equal($"j.yaml:1:7: error {expected}", message);
    }

    /// <summary>An operation in one line: the first sign parts the result from its area.</summary>
    [Theory]
    [InlineData("c = a with b", "c: Union(a, b)")]
    [InlineData("c=\"a=b\"", "c: a=b")]
    [InlineData("c", null)]
    [InlineData("= a", null)]
    [InlineData("c = ", null)]
    public void An_operation_is_a_result_and_an_area(string text, string? expected)
    {
        AreaOperation? operation = AreaOperation.Parse(text, "--make");
        Assert.Equal(expected, operation is null ? null : $"{operation.Layer}: {Show(operation.Area)}");
    }

    [Fact]
    public void A_fault_of_an_operation_in_one_line_names_the_option() => Assert.Equal(
        "error PC0123: '--make' is 'a with': expected a layer name, found the end; write for example pads with fingers without holes",
        Assert.Throws<CompileException>(() => AreaOperation.Parse("c = a with", "--make")).Message.Split('\n')[0]);

    [Theory]
    [InlineData("with")]
    [InlineData("inside")]
    [InlineData("xor")]
    [InlineData("grown")]
    [InlineData("shrunk")]
    [InlineData("by")]
    [InlineData("around")]
    [InlineData(",")]
    [InlineData(")")]
    [InlineData("\"\"")]
    public void A_word_of_the_language_is_no_layer(string word) =>
        Assert.Contains($"found '{word}'", Assert.Throws<CompileException>(() => Parse($"a with {word}")).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("rectangle (1 um, 2 um) (3 um, 2 um)")]
    [InlineData("rectangle (1 um 2 um) (3 um, 4 um)")]
    [InlineData("rectangle 1 um, 2 um (3 um, 4 um)")]
    [InlineData("rectangle (1 um, 2 um) (3 um, 4 um")]
    [InlineData("frame 5 um pads")]
    public void Rectangles_and_frames_need_all_their_parts(string text) => Assert.Throws<CompileException>(() => Parse(text));

    [Fact]
    public void A_frame_may_lie_on_its_edge() => Assert.Equal("frame(0 a)", Show(Parse("frame 0 um around a")));

    [Fact]
    public void Brackets_side_by_side_are_not_inside_each_other() =>
        Assert.StartsWith("Union(", Show(Parse(string.Join(" with ", Enumerable.Repeat("(a)", 500)))), StringComparison.Ordinal);

    [Fact]
    public void Endless_brackets_end_in_an_error() => Assert.Contains(
        "expected fewer brackets", Assert.Throws<CompileException>(() => Parse(new string('(', 10_000))).Message, StringComparison.Ordinal);
}
