using PatternCompiler.Units;

namespace PatternCompiler.Tests.Units;

public sealed class QuantityTextTests
{
    [Theory]
    [InlineData(2.5e-6, Dimension.Time, "2.5 us")]
    [InlineData(0, Dimension.Time, "0 s")]
    [InlineData(59.9, Dimension.Time, "59.9 s")]
    [InlineData(90, Dimension.Time, "1 min 30 s")]
    [InlineData(3725, Dimension.Time, "1 h 02 min")]
    [InlineData(1.52587890625e-9, Dimension.Length, "1.526 nm")]
    [InlineData(999.99e-9, Dimension.Length, "1 um")]
    [InlineData(100e-6, Dimension.Length, "100 um")]
    [InlineData(-100e-6, Dimension.Length, "-100 um")]
    [InlineData(30e-12, Dimension.Current, "30 pA")]
    [InlineData(2.5, Dimension.AreaDose, "250 uC/cm2")]
    [InlineData(4e-8, Dimension.LineDose, "400 pC/cm")]
    [InlineData(123456, Dimension.DataSize, "123.5 kB")]
    [InlineData(12, Dimension.DataSize, "12 B")]
    [InlineData(1e6, Dimension.DataRate, "1 MB/s")]
    [InlineData(30e3, Dimension.Energy, "30 keV")]
    [InlineData(305.17578125e-6, Dimension.Voltage, "305.2 uV")]
    [InlineData(1e7, Dimension.Frequency, "10 MHz")]
    internal void Prints_with_a_fitting_prefix(double value, Dimension dimension, string expected) =>
        Assert.Equal(expected, QuantityText.Format(value, dimension));
}
