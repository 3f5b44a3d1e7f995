using PatternCompiler.Calibration;

namespace PatternCompiler.Tests.Calibration;

public sealed class NestedModelsTests
{
    /// <summary>
    /// With two more parameters the distribution is 1 - (1 + 2F/n)^(-n/2) in closed form: at one in a thousand and ten degrees of freedom F is
    /// 5 (1000^(1/5) - 1) = 14.905 (the table of the F-test has 14.91).
    /// </summary>
    [Theory]
    [InlineData(14.90, false)]
    [InlineData(14.91, true)]
    [InlineData(0, false)]
    [InlineData(-3, false)]
    [InlineData(1e200, true)]
    [InlineData(double.PositiveInfinity, true)]
    public void More_than_chance_is_told_from_the_table_of_the_test(double ratio, bool expected) =>
        Assert.Equal(expected, NestedModels.IsBetter(1 + 2 * ratio / 10, 1, 2, 10, 1e-3));
}
