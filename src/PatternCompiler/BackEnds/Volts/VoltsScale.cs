using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Volts;

/// <summary>
/// Between codes and ticks on one side and decimal volts and seconds on the other. Voltages get enough decimals for a
/// thousandth of a code, times are in whole picoseconds; either way reading back gives the same code and tick.
/// </summary>
internal sealed class VoltsScale
{
    /// <summary>Decimals of a time in seconds.</summary>
    public const int TimeDecimals = 12;

    private const double PicosecondsPerSecond = 1e12;
    private const int DecimalsBelowCode = 3;
    private const int MostVoltDecimals = 14;
    private const double LargestDeviation = 0.1;

    private readonly Dac dac;
    private readonly double clockHertz;
    private readonly double unitsPerVolt;

    public VoltsScale(RecordsHeader header)
    {
        dac = header.Dac;
        clockHertz = header.ClockHertz;
        VoltDecimals = 0;
        unitsPerVolt = 1;
        double finest = dac.LsbVolts;
        while (VoltDecimals < MostVoltDecimals && (finest < 1 || VoltDecimals < DecimalsBelowCode))
        {
            VoltDecimals++;
            unitsPerVolt *= 10;
            finest *= 10;
        }

        for (int i = 0; i < DecimalsBelowCode && VoltDecimals < MostVoltDecimals; i++)
        {
            VoltDecimals++;
            unitsPerVolt *= 10;
        }
    }

    /// <summary>Decimals of a voltage.</summary>
    public int VoltDecimals { get; }

    /// <summary>Voltage of a code, scaled by the decimals.</summary>
    public long VoltsOf(int code) => (long)Math.Round(dac.VoltsOf(code) * unitsPerVolt);

    /// <summary>Picoseconds of a number of ticks; false beyond 64 bits.</summary>
    public bool TryPicoseconds(long ticks, out long picoseconds)
    {
        double exact = Math.Round(ticks / clockHertz * PicosecondsPerSecond);
        picoseconds = (long)exact;
        return exact < long.MaxValue;
    }

    /// <summary>The code of a scaled voltage; false if it is none of this converter.</summary>
    public bool TryCode(long scaledVolts, out int code)
    {
        double exact = (scaledVolts / unitsPerVolt - dac.MinimumVolts) / dac.LsbVolts;
        double nearest = Math.Round(exact);
        code = (int)nearest;
        return Math.Abs(exact - nearest) < LargestDeviation && nearest >= 0 && nearest < dac.CodeCount;
    }

    /// <summary>The tick of a time in picoseconds; false if it falls between two.</summary>
    public bool TryTick(long picoseconds, out long tick)
    {
        double exact = picoseconds / PicosecondsPerSecond * clockHertz;
        double nearest = Math.Round(exact);
        tick = (long)nearest;
        return Math.Abs(exact - nearest) < LargestDeviation;
    }
}
