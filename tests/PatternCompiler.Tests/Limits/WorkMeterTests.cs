using PatternCompiler.Diagnostics;
using PatternCompiler.Limits;

namespace PatternCompiler.Tests.Limits;

public sealed class WorkMeterTests
{
    [Fact]
    public void The_limit_itself_is_allowed_and_one_more_is_not()
    {
        WorkMeter meter = WorkLimits.Usual.With(WorkKind.Fields, 5).Meter(WorkKind.Fields);
        meter.Add(5);
        meter.Require();
        Assert.False(meter.IsExceeded);
        Assert.Equal(
            "error PC0770: this needs more than the 5 write fields that are allowed; check the extent of the drawing, or choose larger fields; if it is meant so, raise 'limits: fields' in the job",
            Error(() => meter.Add(1)));
        Assert.True(meter.IsExceeded);
    }

    [Fact]
    public void Limits_grow_with_the_input()
    {
        WorkMeter meter = WorkLimits.Usual.With(WorkKind.Pieces, 10).Meter(WorkKind.Pieces, 3);
        Assert.Equal(10 + (3 * WorkKind.Pieces.PerItem), meter.Most);
        meter.Require(34.0);
        Assert.Equal(
            "error PC0770: this makes 35 pieces with a dose of their own; 34 are allowed (10, and 8 for each figure); choose a larger 'correct.smallest_piece'; if it is meant so, raise 'limits: pieces' in the job",
            Error(() => meter.Require(35.0)));
    }

    [Theory]
    [InlineData(1e300, "1e+300")]
    [InlineData(double.PositiveInfinity, "Infinity")]
    [InlineData(double.NaN, "NaN")]
    public void Amounts_beyond_whole_numbers_are_refused(double amount, string printed) =>
        Assert.Contains($"this needs {printed} strokes; ", Error(() => WorkLimits.Usual.Meter(WorkKind.Strokes).Require(amount)), StringComparison.Ordinal);

    [Fact]
    public void Every_kind_can_be_raised_and_has_words_for_its_message()
    {
        Assert.Equal(WorkKind.All.Length, WorkKind.All.Select(kind => kind.Key).Distinct().Count());
        foreach (WorkKind kind in WorkKind.All)
        {
            WorkLimits limits = WorkLimits.Usual.With(kind, 7).At("layer 'a'");
            Assert.Equal(7, limits[kind]);
            Assert.All(WorkKind.All.Where(other => other != kind), other => Assert.Equal(other.Start, limits[other]));
            string error = Error(() => limits.Meter(kind).Add(8));
            Assert.StartsWith("layer 'a': error PC", error, StringComparison.Ordinal);
            Assert.EndsWith($"{kind.Advice}; if it is meant so, raise 'limits: {kind.Key}' in the job", error, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Threads_count_into_one_sum()
    {
        WorkMeter meter = WorkLimits.Usual.With(WorkKind.Strokes, 100_000).Meter(WorkKind.Strokes);
        Parallel.For(0, 1000, _ => meter.TryAdd(100));
        Assert.False(meter.IsExceeded);
        Assert.False(meter.TryAdd(1));
    }

    private static string Error(Action act) => Assert.Throws<CompileException>(act).Diagnostic.ToString();
}
