using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Motion;

/// <summary>Between codes and ticks and the units, seconds and inverse minutes of a motion program.</summary>
internal sealed class MotionScale
{
    private const double MillimetresPerNanometre = 1e-6;
    private const double SecondsPerMinute = 60;

    private const double PicosecondsPerSecond = 1e12;

    private readonly double clockHertz;
    private readonly bool isRounded;

    public MotionScale(RecordsHeader header, MotionDialect dialect)
    {
        clockHertz = header.ClockHertz;
        isRounded = dialect.DwellStepSeconds > 0;
        Time = new TickScale(header.ClockHertz);
        (X, Y) = dialect.VoltsPerUnit > 0
            ? (Volts(header.Dac, dialect), Volts(header.Dac, dialect))
            : (Axis(header.NanometresPerCodeX, header.Dac.CodeCount), Axis(header.NanometresPerCodeY, header.Dac.CodeCount));
    }

    /// <summary>Millimetres from the middle of the range along the X output, or units of its voltage.</summary>
    public CodeScale X { get; }

    /// <summary>The same for the Y output.</summary>
    public CodeScale Y { get; }

    /// <summary>Seconds.</summary>
    public TickScale Time { get; }

    /// <summary>The feed word of a move in inverse time mode: how often the move would fit into a minute.</summary>
    public double FeedOf(long ticks) => SecondsPerMinute * clockHertz / ticks;

    /// <summary>The ticks of a feed word.</summary>
    public long TicksOf(double feed) => (long)Math.Round(SecondsPerMinute * clockHertz / feed);

    /// <summary>The ticks of a dwell; false if it falls between two, where dwells are not rounded.</summary>
    public bool TryTicks(long picoseconds, out long ticks)
    {
        if (Time.TryTick(picoseconds, out ticks))
        {
            return true;
        }

        ticks = (long)Math.Round(picoseconds / PicosecondsPerSecond * clockHertz);
        return isRounded;
    }

    private static CodeScale Volts(Dac dac, MotionDialect dialect) =>
        new(dac.MinimumVolts / dialect.VoltsPerUnit, dac.LsbVolts / dialect.VoltsPerUnit, dac.CodeCount);

    private static CodeScale Axis(double nanometresPerCode, int codeCount)
    {
        if (nanometresPerCode == 0)
        {
            throw new CompileException(
                BackEndCodes.NotRepresentable,
                "the machine states no distance per code, which a motion program needs",
                fix: "give the machine's field size, or 'motion.volts_per_unit'");
        }

        double step = nanometresPerCode * MillimetresPerNanometre;
        return new CodeScale(-(codeCount / 2) * step, step, codeCount);
    }
}
