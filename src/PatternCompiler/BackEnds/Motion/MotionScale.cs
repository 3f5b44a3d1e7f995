using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Motion;

/// <summary>Between codes and ticks and the millimetres, seconds and inverse minutes of a motion program.</summary>
internal sealed class MotionScale
{
    private const double MillimetresPerNanometre = 1e-6;
    private const double SecondsPerMinute = 60;

    private readonly double clockHertz;

    public MotionScale(RecordsHeader header)
    {
        clockHertz = header.ClockHertz;
        Time = new TickScale(header.ClockHertz);
        X = Axis(header.NanometresPerCodeX, header.Dac.CodeCount);
        Y = Axis(header.NanometresPerCodeY, header.Dac.CodeCount);
    }

    /// <summary>Millimetres from the middle of the range along the X output.</summary>
    public CodeScale X { get; }

    /// <summary>Millimetres from the middle of the range along the Y output.</summary>
    public CodeScale Y { get; }

    /// <summary>Seconds.</summary>
    public TickScale Time { get; }

    /// <summary>The feed word of a move in inverse time mode: how often the move would fit into a minute.</summary>
    public double FeedOf(long ticks) => SecondsPerMinute * clockHertz / ticks;

    /// <summary>The ticks of a feed word.</summary>
    public long TicksOf(double feed) => (long)Math.Round(SecondsPerMinute * clockHertz / feed);

    private static CodeScale Axis(double nanometresPerCode, int codeCount)
    {
        if (nanometresPerCode == 0)
        {
            throw new CompileException(
                BackEndCodes.NotRepresentable,
                "the machine states no distance per code, which a motion program needs",
                fix: "give the machine's field size");
        }

        double step = nanometresPerCode * MillimetresPerNanometre;
        return new CodeScale(-(codeCount / 2) * step, step, codeCount);
    }
}
