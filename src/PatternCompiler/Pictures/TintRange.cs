namespace PatternCompiler.Pictures;

/// <summary>Spreads values over the tints: evenly over a small range, by ratio over a large one.</summary>
internal readonly struct TintRange
{
    private const double SmallestVisibleRatio = 1.02;
    private const double LargestEvenRatio = 4;
    private readonly double low;
    private readonly double high;

    /// <summary>From the smallest to the largest value, both zero or more.</summary>
    public TintRange(double low, double high)
    {
        this.low = low;
        this.high = high;
    }

    /// <summary>False if all values are so close that one tint serves all.</summary>
    public bool Varies => high > low * SmallestVisibleRatio;

    /// <summary>The tint of a value.</summary>
    public int TintOf(double value)
    {
        if (!Varies)
        {
            return Palette.TintCount;
        }

        double part = low > 0 && high / low > LargestEvenRatio
            ? Math.Log(Math.Max(value, low) / low) / Math.Log(high / low)
            : (value - low) / (high - low);
        return 1 + (int)Math.Round(Math.Clamp(part, 0, 1) * (Palette.TintCount - 1));
    }
}
