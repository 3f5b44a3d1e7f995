using PatternCompiler.Instrument;

namespace PatternCompiler.Passes.Scale;

/// <summary>How long the beam stays off after a jump, until the deflection rests within half a code of its goal.</summary>
internal sealed class SettleTime
{
    /// <summary>Part of the way after which the beam goes on from a pass.</summary>
    public const double PassedPart = 0.75;

    private readonly SettleModel model;
    private readonly double clockHertz;
    private readonly double nanometresPerCodeX;
    private readonly double nanometresPerCodeY;
    private readonly bool swapsAxes;

    /// <summary>The settling of one machine.</summary>
    /// <param name="model">Fixed part, time constant and slew limit.</param>
    /// <param name="clockHertz">Ticks per second.</param>
    /// <param name="mapping">Size of a code on the sample.</param>
    public SettleTime(SettleModel model, double clockHertz, DacMapping mapping)
    {
        this.model = model;
        this.clockHertz = clockHertz;
        nanometresPerCodeX = Math.Abs(mapping.NanometresPerCodeX);
        nanometresPerCodeY = Math.Abs(mapping.NanometresPerCodeY);
        swapsAxes = mapping.Deflection.SwapAxes;
    }

    /// <summary>What is left of a distance between two codes of an output some time after a jump from rest, in codes.</summary>
    public double CodesLeft(double codes, bool isOfY, double seconds)
    {
        double nanometresPerCode = isOfY ? nanometresPerCodeY : nanometresPerCodeX;
        AxisMotion motion = FromRest(codes * nanometresPerCode, isOfY);
        return motion.After(seconds) / nanometresPerCode;
    }

    /// <summary>Clock ticks to wait after a jump of so many codes in each axis, rounded up. The axes settle side by side: the slower one counts.</summary>
    public long TicksAfter(long codesX, long codesY)
    {
        double seconds = model.Table.IsDefaultOrEmpty
            ? Math.Max(AxisSeconds(Math.Abs(codesX), isOfY: false), AxisSeconds(Math.Abs(codesY), isOfY: true))
            : FromTable(Math.Max(Math.Abs(codesX) * nanometresPerCodeX, Math.Abs(codesY) * nanometresPerCodeY));

        // A wait that is a whole number of ticks must not gain one more by the rounding of the product.
        return (long)Math.Ceiling(Math.Max(model.FixedSeconds, seconds) * clockHertz * (1 - 1e-12));
    }

    /// <summary>
    /// Clock ticks until the beam has covered three quarters of the way along the slower axis, rounded up, and no fewer than
    /// <paramref name="fewest"/>: how long a pass is waited for. The beam is still fast then, and no place on the way gets
    /// much of it. Where only a table of waits is known, it is waited for in full.
    /// </summary>
    /// <param name="nanometresX">Distance on the sample.</param>
    /// <param name="nanometresY">As <paramref name="nanometresX"/>.</param>
    /// <param name="fewest">The controller's shortest dwell.</param>
    public long TicksToPass(double nanometresX, double nanometresY, long fewest)
    {
        double x = Math.Abs(nanometresX);
        double y = Math.Abs(nanometresY);
        double seconds = model.Table.IsDefaultOrEmpty
            ? Math.Max(Seconds(x, (1 - PassedPart) * x, isOfY: false), Seconds(y, (1 - PassedPart) * y, isOfY: true))
            : FromTable(Math.Max(x, y));
        return Math.Max(fewest, (long)Math.Ceiling(seconds * clockHertz * (1 - 1e-12)));
    }

    /// <summary>
    /// Time until a single pole with time constant τ, driven through a slew limit v, has come within
    /// <paramref name="tolerance"/> of its goal. Exponential all the way: τ·ln(jump/tolerance). Where the exponential
    /// would start faster than v, that is for jumps above v·τ, the first part runs at v until the distance left is v·τ:
    /// jump/v − τ + τ·ln(v·τ/tolerance). Lengths in one unit, <paramref name="slewPerSecond"/> in that unit per second,
    /// 0 for no limit. (Single-pole step response, W. Kester (ed.), The Data Conversion Handbook, Newnes 2005; the slew
    /// part follows from joining the two at equal speed.)
    /// </summary>
    public static double Seconds(double jump, double tolerance, double timeConstantSeconds, double slewPerSecond)
    {
        if (jump <= tolerance)
        {
            return 0;
        }

        double handOver = slewPerSecond > 0 ? slewPerSecond * timeConstantSeconds : double.PositiveInfinity;
        if (jump <= handOver)
        {
            return timeConstantSeconds * Math.Log(jump / tolerance);
        }

        // With a very short time constant the slewing itself ends within the tolerance.
        return handOver > tolerance
            ? jump / slewPerSecond - timeConstantSeconds + timeConstantSeconds * Math.Log(handOver / tolerance)
            : (jump - tolerance) / slewPerSecond;
    }

    /// <summary>Linear between the lines of the table, constant before the first and after the last.</summary>
    private double FromTable(double jump)
    {
        SettlePoint lower = model.Table[0];
        foreach (SettlePoint upper in model.Table)
        {
            if (jump <= upper.JumpNanometres)
            {
                return jump <= lower.JumpNanometres
                    ? lower.Seconds
                    : lower.Seconds + (upper.Seconds - lower.Seconds) * (jump - lower.JumpNanometres) / (upper.JumpNanometres - lower.JumpNanometres);
            }

            lower = upper;
        }

        return lower.Seconds;
    }

    private double AxisSeconds(long codes, bool isOfY)
    {
        double nanometresPerCode = isOfY ? nanometresPerCodeY : nanometresPerCodeX;
        return Seconds(codes * nanometresPerCode, nanometresPerCode / 2, isOfY);
    }

    private double Seconds(double jump, double tolerance, bool isOfY)
    {
        if (!model.IsSum)
        {
            return Seconds(jump, tolerance, model.TimeConstantSeconds, model.SlewNanometresPerSecond);
        }

        return FromRest(jump, isOfY).SecondsUntil(tolerance);
    }

    // The response belongs to an axis of the sample, which either output may drive.
    private AxisMotion FromRest(double jump, bool isOfY)
    {
        AxisMotion motion = AxisMotion.Of(model, isOfY != swapsAxes, 1);
        motion.Rest(jump);
        motion.Send(0);
        return motion;
    }
}
