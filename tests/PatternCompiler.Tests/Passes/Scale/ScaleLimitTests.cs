using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Passes.Scale;

/// <summary>What is just allowed passes, one beyond is refused: codes 0 to 65535, 10 to 1000 ticks a point.</summary>
public sealed class ScaleLimitTests
{
    private static readonly ScaleOptions Options = ScaleCase.Options with { Clock = new Clock(1e7, 10, 1000) };

    [Theory]
    [InlineData(-32_768_400_000, 0, 0, 32768)]
    [InlineData(32_767_400_000, 0, 65535, 32768)]
    [InlineData(0, -32_768_400_000, 32768, 0)]
    [InlineData(0, 32_767_400_000, 32768, 65535)]
    public void The_outermost_codes_are_reached(long x, long y, int codeX, int codeY) =>
        Assert.Equal(DeflectionRecord.Jump(codeX, codeY, 10), ScaleCase.Scale(Options, Stroke.Jump(0, x, y))[0]);

    [Theory]
    [InlineData(-32_768_600_000, 0)]
    [InlineData(32_767_600_000, 0)]
    [InlineData(0, -32_768_600_000)]
    [InlineData(0, 32_767_600_000)]
    public void One_code_further_is_refused_wherever_it_stands(long x, long y)
    {
        const long charge = 40 * ScaleCase.TickCharge;
        AssertRefused("PC1401", Stroke.Jump(0, x, y));
        AssertRefused("PC1401", Stroke.Jump(0, 0, 0), Stroke.Via(0, x, y));
        AssertRefused("PC1401", Stroke.Jump(0, 0, 0), Stroke.Dot(0, x, y, charge));
        AssertRefused("PC1401", Stroke.Jump(0, 0, 0), Stroke.Line(0, x, y, 0, 0, 2, charge));
        AssertRefused("PC1401", Stroke.Jump(0, 0, 0), Stroke.Line(0, 0, 0, x, y, 2, charge));
    }

    [Theory]
    [InlineData(1, 10)]
    [InlineData(1, 1000)]
    [InlineData(3, 30)]
    [InlineData(3, 31)]
    [InlineData(3, 2999)]
    [InlineData(3, 3000)]
    public void A_dwell_within_the_limits_passes(int points, long ticks) => Assert.Equal(ticks, ScaleCase.Scale(Options, Exposing(points, ticks))[^1].Ticks);

    [Theory]
    [InlineData(1, 9, "PC1402")]
    [InlineData(3, 29, "PC1402")]
    [InlineData(1, 1001, "PC1403")]
    [InlineData(3, 3001, "PC1403")]
    public void A_tick_less_or_more_is_refused(int points, long ticks, string code) => AssertRefused(code, Exposing(points, ticks));

    private static Stroke Exposing(int points, long ticks) => points == 1
        ? Stroke.Dot(0, 0, 0, ticks * ScaleCase.TickCharge)
        : Stroke.Line(0, 0, 0, 0, 30_000_000, points, ticks * ScaleCase.TickCharge);

    private static void AssertRefused(string code, params Stroke[] strokes) =>
        Assert.Contains($"error {code}: ", Assert.Throws<CompileException>(() => ScaleCase.Scale(Options, strokes)).Message, StringComparison.Ordinal);

    /// <summary>An axis whose outermost code is just reached is none of those that are beyond.</summary>
    [Theory]
    [InlineData(-32_768_000_000, 40_000_000_000, "(-32.768, 40) um lies outside the field: by 7.233 um in y (")]
    [InlineData(32_767_000_000, 40_000_000_000, "(32.767, 40) um lies outside the field: by 7.233 um in y (")]
    [InlineData(40_000_000_000, -32_768_000_000, "(40, -32.768) um lies outside the field: by 7.233 um in x (")]
    [InlineData(-40_000_000_000, 32_767_000_000, "(-40, 32.767) um lies outside the field: by 7.232 um in x (")]
    public void Only_the_axis_that_is_beyond_is_named(long x, long y, string expected)
    {
        string message = Assert.Throws<CompileException>(() => ScaleCase.Scale(Options, Stroke.Jump(0, x, y))).Message;
        Assert.Contains(expected, message, StringComparison.Ordinal);
        Assert.Single(message.Split(" um in ")[1..]);
    }
}
