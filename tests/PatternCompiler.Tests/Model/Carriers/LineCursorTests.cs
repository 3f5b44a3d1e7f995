using System.Globalization;
using System.Text;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Tests.Model.Carriers;

public sealed class LineCursorTests
{
    private static readonly string[] Signs = ["", "-", "+", "--", "0", "-00000000000000000000"];
    private static readonly string[] Ends = ["", "", "", ".", "x", "\t", "-", ".5"];

    private static readonly Gen<string> Field = Gen.OneOf(
        Gen.Long.Select(value => value.ToString(CultureInfo.InvariantCulture)),
        Gen.Select(Gen.Int[0, Signs.Length - 1], Gen.Char["0123456789"].Array[0, 22], Gen.Int[0, Ends.Length - 1])
            .Select(parts => Signs[parts.Item1] + new string(parts.Item2) + Ends[parts.Item3])).Where(field => field.Length > 0);

    /// <summary>Beside the runtime's own reading of numbers.</summary>
    [Fact]
    public void Whole_numbers_are_those_of_64_bits_in_digits_with_a_minus_at_most() =>
        Gen.Select(Field, Gen.Int[0, 3], Gen.Bool).Sample((field, spaces, isLast) =>
        {
            bool isWhole = long.TryParse(field, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out long value) && field[0] != '+';
            var cursor = new LineCursor(Encoding.UTF8.GetBytes(new string(' ', spaces) + field + (isLast ? "" : "  rest")), new Utf8LineReader(new CarrierInput(Stream.Null), "test"));
            try
            {
                Assert.Equal(value, cursor.Integer("a number", long.MinValue, long.MaxValue));
                Assert.True(isWhole);
                Assert.Equal(isLast ? "" : "rest", Encoding.UTF8.GetString(cursor.Field()));
            }
            catch (CompileException fault)
            {
                Assert.False(isWhole);
                Assert.Equal(spaces + 1, fault.Diagnostic.Place!.Column);
            }
        }, iter: Iterations.Usually(1000));

    [Theory]
    [InlineData("7", true)]
    [InlineData(" 12 rest", true)]
    [InlineData("6", false)]
    [InlineData("  13", false)]
    public void Limits_belong_to_what_is_allowed(string line, bool isAllowed)
    {
        string? told = (Record.Exception(() => new LineCursor(Encoding.UTF8.GetBytes(line), new Utf8LineReader(new CarrierInput(Stream.Null), "test")).Integer("a number", 7, 12)) as CompileException)?.Diagnostic.Message;
        Assert.Equal(isAllowed ? null : $"a number is {line.Trim()}, allowed is 7 to 12", told);
    }
}
