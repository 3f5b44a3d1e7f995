using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

public sealed class SourceSettingTests
{
    /// <summary>An option takes the words of job files, should there be blanks in one with dashes for them; another word is refused with the option's name.</summary>
    [Fact]
    public void Options_take_the_words_of_job_files()
    {
        Assert.All(SourceSetting.All.Where(setting => setting.Words.Length > 0), setting =>
        {
            Assert.Equal(setting.Words.Length, setting.Words.Select(word => setting.ReadOption(word.Replace(' ', '-'), DrawingOptions.Default).ToString()).Distinct().Count());
            Assert.StartsWith(
                $"error PC0114: {setting.OptionName} ", Assert.Throws<CompileException>(() => setting.ReadOption("no-such-word", DrawingOptions.Default)).Message.Replace("'", "", StringComparison.Ordinal), StringComparison.Ordinal);
        });
    }

    [Theory]
    [InlineData("um", 1000)]
    [InlineData("25.4 um", 25_400)]
    [InlineData(".5nm", 0.5)]
    [InlineData("+2 nm", 2)]
    public void A_unit_alone_means_one_of_it(string text, double nanometres) =>
        Assert.Equal(nanometres, SourceSetting.All.First(setting => setting.Key == "unit").ReadOption(text, DrawingOptions.Default).UnitNanometres);

    [Theory]
    [InlineData("0 um", "error PC0115: --unit must be above zero, but it is '0 um'")]
    [InlineData("-1 um", "error PC0115: --unit must be above zero, but it is '-1 um'")]
    [InlineData("5", "error PC0103: --unit needs a unit of length, but it is '5'; write for example um")]
    [InlineData("uA", "error PC0103: --unit needs a unit of length, but it is 'uA'; write for example um")]
    public void A_unit_that_is_none_is_refused(string text, string message) => Assert.Equal(
        message, Assert.Throws<CompileException>(() => SourceSetting.All.First(setting => setting.Key == "unit").ReadOption(text, DrawingOptions.Default)).Message.Split('\n')[0].Replace("'--unit'", "--unit", StringComparison.Ordinal));
}
