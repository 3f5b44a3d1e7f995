using System.Globalization;
using System.Text;
using CsCheck;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Tests.Model.Carriers;

public sealed class FixedPointTextTests
{
    [Fact]
    public void Prints_what_decimal_arithmetic_prints() => Gen.Select(Gen.Long, Gen.Int[0, 9]).Sample(
        (scaled, decimals) =>
        {
            decimal value = scaled;
            for (int i = 0; i < decimals; i++)
            {
                value /= 10;
            }

            return Format(scaled, decimals) == value.ToString("0.##########", CultureInfo.InvariantCulture);
        }, iter: Iterations.Usually(100));

    [Fact]
    public void Reads_what_it_prints() => Gen.Select(Gen.Long, Gen.Int[0, 12]).Sample(
        (scaled, decimals) =>
            FixedPointText.TryParse(Encoding.UTF8.GetBytes(Format(scaled, decimals)), decimals, out long read) && read == scaled, iter: Iterations.Usually(100));

    [Theory]
    [InlineData("")]
    [InlineData("-")]
    [InlineData(".5")]
    [InlineData("5.")]
    [InlineData("+5")]
    [InlineData("1.2345")]
    [InlineData("1,5")]
    [InlineData("1e3")]
    [InlineData("9223372036854775807")]
    [InlineData("99999999999999999999999")]
    [InlineData("--1")]
    public void Refuses_everything_else(string text) =>
        Assert.False(FixedPointText.TryParse(Encoding.UTF8.GetBytes(text), 3, out _));

    private static string Format(long scaled, int decimals)
    {
        byte[] text = new byte[32];
        return Encoding.UTF8.GetString(text, 0, FixedPointText.Format(scaled, decimals, text));
    }
}
