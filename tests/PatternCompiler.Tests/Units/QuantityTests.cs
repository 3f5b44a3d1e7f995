using CsCheck;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Units;

public sealed class QuantityTests
{
    private static readonly string[] Symbols = ["nm", "um", "pA", "uC/cm2", "%", "", "KiB", "deg", "codes"];

    // SI brochure, 9th edition (2019), table 7: prefixes; IEC 80000-13: KiB = 1024 B. 1 uC/cm2 = 0.01 C/m2 follows.
    [Theory]
    [InlineData("10 V", Dimension.Voltage, 10)]
    [InlineData("-10V", Dimension.Voltage, -10)]
    [InlineData("80 um", Dimension.Length, 80e-6)]
    [InlineData("80 µm", Dimension.Length, 80e-6)]
    [InlineData("80 μm", Dimension.Length, 80e-6)]
    [InlineData("30 pA", Dimension.Current, 30e-12)]
    [InlineData("250 uC/cm2", Dimension.AreaDose, 2.5)]
    [InlineData("250 µC/cm²", Dimension.AreaDose, 2.5)]
    [InlineData("250 uC/cm^2", Dimension.AreaDose, 2.5)]
    [InlineData("2.5 us", Dimension.Time, 2.5e-6)]
    [InlineData("2 min", Dimension.Time, 120)]
    [InlineData("10 MHz", Dimension.Frequency, 1e7)]
    [InlineData("1 MB/s", Dimension.DataRate, 1e6)]
    [InlineData("12 Mbit/s", Dimension.DataRate, 1.5e6)]
    [InlineData("115200 baud", Dimension.DataRate, 11_520)]
    [InlineData("921.6 kbaud", Dimension.DataRate, 92_160)]
    [InlineData("3 Mbaud", Dimension.DataRate, 300_000)]
    [InlineData("64 KiB", Dimension.DataSize, 65536)]
    [InlineData("400 pC/cm", Dimension.LineDose, 4e-8)]
    [InlineData("1 fC", Dimension.Charge, 1e-15)]
    [InlineData("30 kV", Dimension.Energy, 30e3)]
    [InlineData("30 keV", Dimension.Energy, 30e3)]
    [InlineData("3 codes", Dimension.Codes, 3)]
    [InlineData("1 code", Dimension.Codes, 1)]
    [InlineData("4 ticks", Dimension.Ticks, 4)]
    [InlineData("2 %", Dimension.Fraction, 0.02)]
    [InlineData("0.5", Dimension.Fraction, 0.5)]
    [InlineData("45 deg", Dimension.Angle, 45)]
    [InlineData("45°", Dimension.Angle, 45)]
    [InlineData("10 um/us", Dimension.Speed, 10)]
    [InlineData("1e3 nm", Dimension.Length, 1e-6)]
    [InlineData(" 1.5E-2 mm ", Dimension.Length, 1.5e-5)]
    internal void Reads_numbers_with_units(string text, Dimension dimension, double expected)
    {
        Assert.True(Quantity.TryParse(text, [dimension], out Quantity quantity, out _));
        Assert.Equal(dimension, quantity.Dimension);
        Assert.Equal(expected, quantity.BaseValue);
    }

    [Theory]
    [InlineData("10 V", "needs a length, but '10 V' is a voltage; write for example 20 nm")]
    [InlineData("10", "needs a length, but '10' has no unit; write for example 20 nm")]
    [InlineData("10 Um", "needs a length, and 'Um' in '10 Um' is no known unit; did you mean 'um'?")]
    [InlineData("1,5 um", "needs a length, but '1,5 um' has a comma; decimals take a point; write for example 20 nm")]
    [InlineData("wide", "needs a length, but 'wide' does not start with a number; write for example 20 nm")]
    [InlineData("1e999 nm", "needs a length, but '1e999 nm' does not start with a number; write for example 20 nm")]
    [InlineData("1e300 nm", "needs a length, but '1e300 nm' is too large; write for example 20 nm")]
    [InlineData("", "needs a length, but '' does not start with a number; write for example 20 nm")]
    [InlineData("5 furlongs", "needs a length, and 'furlongs' in '5 furlongs' is no known unit; write for example 20 nm")]
    public void Refuses_anything_else_with_a_remedy(string text, string expected)
    {
        Assert.False(Quantity.TryParse(text, [Dimension.Length], out _, out QuantityFault? fault));
        Assert.Equal(expected, $"{fault.Problem}; {fault.Fix}");
    }

    [Fact]
    public void Names_every_wanted_dimension()
    {
        Assert.False(Quantity.TryParse("3 V", [Dimension.Length, Dimension.Codes], out _, out QuantityFault? fault));
        Assert.Equal("needs a length or a number of codes, but '3 V' is a voltage", fault.Problem);
        Assert.Equal("write for example 20 nm or 3 codes", fault.Fix);
    }

    [Theory]
    [InlineData("80 um", 80_000)]
    [InlineData("0.1 um", 100)]
    [InlineData("0.0001 mm", 100)]
    [InlineData("24.4140625 nm", 24.4140625)]
    public void Converts_between_decimal_units_without_drift(string text, double nanometres)
    {
        Assert.True(Quantity.TryParse(text, [Dimension.Length], out Quantity quantity, out _));
        Assert.Equal(nanometres, quantity.In(Unit.Nanometre));
    }

    [Fact]
    public void Printed_quantities_read_back_to_the_same() =>
        Gen.Select(Gen.Double[-1e6, 1e6], Gen.Int[0, Symbols.Length - 1])
            .Sample((number, index) =>
            {
                string symbol = Symbols[index];
                Dimension[] all = Enum.GetValues<Dimension>();
                Assert.True(Quantity.TryParse($"{NumberText.Format(number)} {symbol}", all, out Quantity first, out _));
                Assert.True(Quantity.TryParse(first.ToString(), all, out Quantity second, out _));
                return first == second;
            }, iter: Iterations.Usually(100));
}
