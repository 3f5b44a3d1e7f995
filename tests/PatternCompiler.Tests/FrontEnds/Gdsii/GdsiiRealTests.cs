using CsCheck;
using PatternCompiler.FrontEnds.Gdsii;

namespace PatternCompiler.Tests.FrontEnds.Gdsii;

public sealed class GdsiiRealTests
{
    // Excess-64 base-16 reals worked out by hand from the format's definition; 1e-3 and 1e-9 are the usual UNITS record.
    [Theory]
    [InlineData("0000000000000000", 0)]
    [InlineData("4110000000000000", 1)]
    [InlineData("4120000000000000", 2)]
    [InlineData("C120000000000000", -2)]
    [InlineData("4080000000000000", 0.5)]
    [InlineData("4040000000000000", 0.25)]
    [InlineData("4118000000000000", 1.5)]
    [InlineData("41A0000000000000", 10)]
    [InlineData("422D000000000000", 45)]
    [InlineData("425A000000000000", 90)]
    [InlineData("42B4000000000000", 180)]
    [InlineData("4310E00000000000", 270)]
    [InlineData("3E4189374BC6A7F0", 1e-3)]
    [InlineData("3944B82FA09B5A54", 1e-9)]
    [InlineData("3C10C6F7A0B5ED8D", 1e-6)]
    [InlineData("386DF37F675EF6EC", 1e-10)]
    public void Byte_patterns(string hex, double value)
    {
        Assert.Equal(value, GdsiiReal.Read(Convert.FromHexString(hex)));
        byte[] written = new byte[8];
        GdsiiReal.Write(written, value);
        Assert.Equal(hex, Convert.ToHexString(written));
    }

    // Writers that round the exact decimal differ in the last byte.
    [Theory]
    [InlineData("3E4189374BC6A7EF", 1e-3)]
    [InlineData("3944B82FA09B5A52", 1e-9)]
    [InlineData("3944B82FA09B5A53", 1e-9)]
    public void Neighbouring_patterns_are_the_same_to_the_last_bits(string hex, double value) =>
        Assert.InRange(GdsiiReal.Read(Convert.FromHexString(hex)) / value, 1 - 1e-15, 1 + 1e-15);

    [Fact]
    public void Every_double_in_range_comes_back() => Gen.Double[-1e70, 1e70].Where(v => Math.Abs(v) > 1e-70).Sample(value =>
    {
        byte[] written = new byte[8];
        GdsiiReal.Write(written, value);
        Assert.Equal(value, GdsiiReal.Read(written));
        Assert.True(value == 0 || (written[0] & 0x7f) == 0 || written[1] >= 0x10);
    }, iter: Iterations.Usually(100));
}
