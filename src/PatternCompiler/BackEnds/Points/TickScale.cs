namespace PatternCompiler.BackEnds.Points;

/// <summary>
/// Between clock ticks and decimal seconds in whole picoseconds; reading back gives the same tick.
/// </summary>
internal readonly struct TickScale(double clockHertz)
{
    /// <summary>Decimals of a time in seconds.</summary>
    public const int Decimals = 12;

    private const double PicosecondsPerSecond = 1e12;
    private const double LargestDeviation = 0.1;

    /// <summary>Picoseconds of a number of ticks; false beyond 64 bits (100 days).</summary>
    public bool TryPicoseconds(long ticks, out long picoseconds)
    {
        double exact = Math.Round(ticks / clockHertz * PicosecondsPerSecond);
        picoseconds = (long)exact;
        return exact < long.MaxValue;
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
