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

    /// <summary>Codes that the amplifiers do not follow are refused as those that do not exist, wherever they stand, and never clamped.</summary>
    [Theory]
    [InlineData(-30_767_600_000, 0, "output X would need code 2000, it follows from 2001 to 60000 ('usable_x')")]
    [InlineData(27_232_600_000, 0, "output X would need code 60001, it follows from 2001 to 60000 ('usable_x')")]
    [InlineData(0, -32_768_000_000, "output Y would need code 0, it follows from 1 to 65534 ('usable_y')")]
    [InlineData(0, 32_767_000_000, "output Y would need code 65535, it follows from 1 to 65534 ('usable_y')")]
    [InlineData(-32_000_000_000, 32_767_000_000, "output X would need code 768, it follows from 2001 to 60000 ('usable_x'); output Y would need code 65535, it follows from 1 to 65534 ('usable_y')")]
    public void Codes_that_are_not_followed_are_refused_wherever_they_stand(long x, long y, string fault)
    {
        ScaleOptions usable = Options with { Deflection = Options.Deflection with { UsableX = new(2001, 60000), UsableY = new(1, 65534) } };
        const long charge = 40 * ScaleCase.TickCharge;
        foreach (Stroke[] strokes in (Stroke[][])
            [
                [Stroke.Jump(7, x, y)],
                [Stroke.Jump(7, 0, 0), Stroke.Via(7, x, y)],
                [Stroke.Jump(7, 0, 0), Stroke.Dot(7, x, y, charge)],
                [Stroke.Jump(7, 0, 0), Stroke.Line(7, x, y, 0, 0, 2, charge)],
                [Stroke.Jump(7, 0, 0), Stroke.Line(7, 0, 0, x, y, 2, charge)],
            ])
        {
            string place = FormattableString.Invariant($"({x / 1e9:0.####}, {y / 1e9:0.####}) um");
            Assert.Equal(
                $"figure 7 at {place}: error PC1405: {place} lies beyond what the amplifiers follow: {fault}; move or shrink the drawing, or enlarge the field in the machine file (a lower magnification)",
                Assert.Throws<CompileException>(() => ScaleCase.Scale(usable, strokes)).Message);
        }
    }

    [Theory]
    [InlineData(-30_767_400_000, 0, 2001, 32768)]
    [InlineData(27_232_400_000, 32_766_400_000, 60000, 65534)]
    [InlineData(0, -32_767_400_000, 32768, 1)]
    public void The_outermost_codes_that_are_followed_are_reached(long x, long y, int codeX, int codeY) => Assert.Equal(
        DeflectionRecord.Jump(codeX, codeY, 10),
        ScaleCase.Scale(Options with { Deflection = Options.Deflection with { UsableX = new(2001, 60000), UsableY = new(1, 65534) } }, Stroke.Jump(0, x, y))[0]);

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
