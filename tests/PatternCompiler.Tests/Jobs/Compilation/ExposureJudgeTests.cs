using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;

namespace PatternCompiler.Tests.Jobs.Compilation;

public sealed class ExposureJudgeTests
{
    /// <summary>To which figures jumps lead is noted in strict builds, and where some of the beam comes through on every jump; elsewhere it costs memory for nothing.</summary>
    [Theory]
    [InlineData(true, false, false)]
    [InlineData(true, true, true)]
    [InlineData(false, false, true)]
    [InlineData(false, true, true)]
    public void Figures_of_jumps_are_noted_where_they_are_wanted(bool hasBlanker, bool isStrict, bool isNoted)
    {
        var settings = new BuildSettings(
            DefaultFiles.Job with { IsStrict = isStrict },
            DefaultFiles.Machine with { Blanker = new Blanker(hasBlanker, true, 0, 0, hasBlanker ? 0 : 1), Settle = new SettleModel(0, 0, 1e8) },
            DefaultFiles.Process);
        Assert.Equal(isNoted, new ExposureJudge(settings).Strokes is not null);
    }

    /// <summary>A pattern that is not divided is written from where it stands, without any move of the stage.</summary>
    [Fact]
    public void The_only_position_is_where_the_pattern_stands() => Assert.Equal(new StagePosition(null, 0L, 0L, 0, 0, 0, MoveSeconds: 0), StagePosition.Only);
}
