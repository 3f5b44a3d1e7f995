using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Tests.Diagnostics;

/// <summary>Whatever a name holds, it is seen and does nothing, and no two names are printed alike.</summary>
public sealed partial class PrintedTextTests
{
    // Control characters, marks of direction, separators of lines, lone halves, tags beyond the first plane, and what looks like an escape.
    private static readonly string[] Pieces =
    [
        "\0", "\a", "\t", "\n", "\r", "\u001b[2J", "\u007f", "\u0085", "\u009b", "\u00ad", "\u061c", "\u200b", "\u200e", "\u2028", "\u2029", "\u202e", "\u2066",
        "\ufeff", "\ud800", "\udfff", "\udc80", "\udcff", "\ud83d\ude00", "\U000e0041", "\\", "\\u{1B}", "\\x{FF}", "\\u", "{", "}", "a", "é", "中", " ", "'",
    ];

    private static readonly Gen<string> Texts = Gen.Frequency(
        (3, Gen.Int[0, Pieces.Length - 1].Select(i => Pieces[i])),
        (1, Gen.Char[char.MinValue, char.MaxValue].Select(c => c.ToString()))).Array[0, 12].Select(string.Concat);

    [Fact]
    public void Nothing_printed_acts_and_every_text_can_be_read_back() => Texts.Sample(text =>
    {
        string printed = PrintedText.Of(text);
        Assert.DoesNotContain(printed.EnumerateRunes(), Acts);
        Assert.Equal(printed, Encoding.UTF8.GetString(Encoding.UTF8.GetBytes(printed)));
        Assert.Equal(text, ReadBack(printed));
    }, iter: Iterations.Usually(20_000));

    [Fact]
    public void A_diagnostic_prints_nothing_that_acts_wherever_the_text_came_in() => Texts.Sample(text =>
    {
        var diagnostic = new Diagnostic(CommandCodes.WrongUsage, Severity.Error, $"found '{text}'", new SourcePlace(text, 3, 1 + text.Length / 2, text), text, text);
        string[] lines = diagnostic.ToString().Split('\n');
        Assert.True(lines.Length is 1 or 3);
        Assert.All(lines, line => Assert.DoesNotContain(line.EnumerateRunes(), Acts));
    }, iter: Iterations.Usually(100));

    [Theory]
    [InlineData("plain é 中 \ud83d\ude00", "plain é 中 \ud83d\ude00")]
    [InlineData("C:\\users\\x", "C:\\users\\x")]
    [InlineData("\u001b]52;c;eA==\a", "\\u{1B}]52;c;eA==\\u{7}")]
    [InlineData("a\nb\u202ec", "a\\u{A}b\\u{202E}c")]
    [InlineData("\\u{1B}", "\\u{5C}u{1B}")]
    public void Escapes_are_those(string text, string printed) => Assert.Equal(printed, PrintedText.Of(text));

    // As a case of a theory it would lose its halves on the way.
    [Fact]
    public void Bytes_and_halves_of_characters_have_escapes() => Assert.Equal("x\\x{FF}y\\u{D800}", PrintedText.Of("x\udcffy\ud800"));

    [Fact]
    public void A_long_text_keeps_its_beginning_and_its_end() => Assert.Equal(
        "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa…(3999940 characters)…aaaaaaaaaaaaaaaaaaaz", PrintedText.Of(new string('a', 3_999_999) + "z", 60));

    [Fact]
    public void A_cut_never_parts_a_character() => Gen.Int[0, 40].Select(Gen.Int[3, 30]).Sample((length, longest) =>
        Assert.DoesNotContain("\\u{", PrintedText.Of(string.Concat(Enumerable.Repeat("a\ud83d\ude00", length)), longest), StringComparison.Ordinal), iter: Iterations.Usually(100));

    [Fact]
    public void The_caret_stays_under_its_column()
    {
        var diagnostic = new Diagnostic(CommandCodes.WrongUsage, Severity.Error, "no", new SourcePlace("a\nb", 1, 5), null, "\u001b[m\tX");
        Assert.Equal("a\\u{A}b:1:5: error PC0001: no\n    \\u{1B}[m X\n             ^", diagnostic.ToString());
    }

    [Fact]
    public void A_message_is_bounded_whatever_it_quotes()
    {
        string huge = new('\u001b', 1 << 22);
        var diagnostic = new Diagnostic(CommandCodes.WrongUsage, Severity.Error, $"'{huge}' is wrong", new SourcePlace(huge, 1, 1, huge), huge, huge);
        Assert.InRange(diagnostic.ToString().Length, 1, 20_000);
        Assert.Contains(" is wrong", diagnostic.ToString(), StringComparison.Ordinal);
    }

    private static bool Acts(Rune rune) => Rune.GetUnicodeCategory(rune)
        is UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator or UnicodeCategory.Surrogate;

    private static string ReadBack(string printed) => Escape().Replace(printed, match =>
    {
        int number = int.Parse(match.Groups[2].Value, NumberStyles.HexNumber, CultureInfo.InvariantCulture);
        return match.Groups[1].Value == "x" ? ((char)(0xDC00 + number)).ToString() : number is >= 0xD800 and < 0xE000 ? ((char)number).ToString() : char.ConvertFromUtf32(number);
    });

    [GeneratedRegex(@"\\([ux])\{([0-9A-F]+)\}")]
    private static partial Regex Escape();
}
