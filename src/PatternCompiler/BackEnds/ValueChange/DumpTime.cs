using System.Globalization;
using System.Numerics;

namespace PatternCompiler.BackEnds.ValueChange;

/// <summary>
/// Between clock ticks and the times of a dump, which count 1, 10 or 100 of a unit of time. A tick is a whole number of the coarsest
/// such step from seconds down to picoseconds that divides it; where none does, times are rounded to picoseconds, each by itself.
/// </summary>
internal readonly struct DumpTime
{
    private const int FinestDecimals = 12;
    private static readonly string[] Units = ["s", "ms", "us", "ns", "ps"];

    // The clock's rate in hertz is numerator / denominator, exactly: it is a double.
    private readonly BigInteger numerator;
    private readonly BigInteger denominator;
    private readonly int decimals;

    /// <summary>The times of a clock.</summary>
    public DumpTime(double clockHertz)
    {
        const int FractionBits = 52;
        const int SmallestExponent = -1074;
        long bits = BitConverter.DoubleToInt64Bits(clockHertz);
        long fraction = bits & ((1L << FractionBits) - 1);
        int biased = (int)(bits >> FractionBits);
        (long significand, int exponent) = biased == 0 ? (fraction, SmallestExponent) : (fraction | (1L << FractionBits), biased + SmallestExponent - 1);
        numerator = (BigInteger)significand << Math.Max(0, exponent);
        denominator = BigInteger.One << Math.Max(0, -exponent);
        for (decimals = 0; decimals <= FinestDecimals; decimals++)
        {
            BigInteger steps = BigInteger.DivRem(denominator * BigInteger.Pow(10, decimals), numerator, out BigInteger rest);
            if (rest.IsZero && steps <= long.MaxValue)
            {
                StepsPerTick = (long)steps;
                return;
            }
        }

        decimals = FinestDecimals;
    }

    /// <summary>Steps of a tick; 0 where times are rounded.</summary>
    public long StepsPerTick { get; }

    /// <summary>The step in the words of a dump, as "100 ns".</summary>
    public string Scale
    {
        get
        {
            int unit = (decimals + 2) / 3;
            return $"{(3 * unit - decimals) switch { 0 => "1", 1 => "10", _ => "100" }} {Units[unit]}";
        }
    }

    /// <summary>The time of a tick in steps; false beyond 63 bits.</summary>
    public bool TryTime(long tick, out long time)
    {
        if (StepsPerTick > 0)
        {
            Int128 exact = (Int128)tick * StepsPerTick;
            time = (long)exact;
            return exact <= long.MaxValue;
        }

        // Rounded half up.
        BigInteger rounded = (2 * (BigInteger)tick * StepsPerSecond * denominator + numerator) / (2 * numerator);
        time = rounded <= long.MaxValue ? (long)rounded : default;
        return rounded <= long.MaxValue;
    }

    /// <summary>The tick that a time stands for; false if it is the time of none.</summary>
    public bool TryTick(long time, out long tick)
    {
        if (StepsPerTick > 0)
        {
            (tick, long rest) = Math.DivRem(time, StepsPerTick);
            return rest == 0;
        }

        BigInteger divisor = 2 * StepsPerSecond * denominator;
        BigInteger nearest = (2 * (BigInteger)time * numerator + StepsPerSecond * denominator) / divisor;
        tick = nearest <= long.MaxValue ? (long)nearest : default;
        return nearest <= long.MaxValue && TryTime(tick, out long back) && back == time;
    }

    /// <inheritdoc/>
    public override string ToString() => StepsPerTick > 0
        ? $"a tick is {StepsPerTick.ToString(CultureInfo.InvariantCulture)} x {Scale}"
        : $"no whole number of picoseconds is a tick: times are rounded to the nearest {Scale}";

    private BigInteger StepsPerSecond => BigInteger.Pow(10, decimals);
}
