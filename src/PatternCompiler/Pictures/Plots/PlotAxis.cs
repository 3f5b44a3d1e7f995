namespace PatternCompiler.Pictures.Plots;

/// <summary>An axis of a plot.</summary>
/// <param name="Label">What it shows, with its unit.</param>
/// <param name="Low">Value wanted at its left or lower end; an even axis that is too narrow for its values is widened.</param>
/// <param name="High">Value wanted at its other end, not below <paramref name="Low"/>.</param>
/// <param name="IsLogarithmic">Equal distances are equal ratios; both ends are then above zero.</param>
internal sealed record PlotAxis(string Label, double Low, double High, bool IsLogarithmic = false)
{
    // An even axis is at least so wide in parts of its values: a narrower one holds too few doubles for its ticks and labels.
    private const double LeastPart = 1e-9;

    /// <summary>Value at its left or lower end.</summary>
    public double Low { get; } = IsLogarithmic ? Low : Low - Widening(Low, High);

    /// <summary>Value at its other end, above <see cref="Low"/>.</summary>
    public double High { get; } = IsLogarithmic ? High : High + Widening(Low, High);

    /// <summary>An axis that holds all values with a little room.</summary>
    public static PlotAxis Around(string label, IEnumerable<double> values, bool isLogarithmic = false)
    {
        double[] all = [.. values.Where(v => double.IsFinite(v) && (!isLogarithmic || v > 0))];
        if (all.Length == 0)
        {
            return new PlotAxis(label, isLogarithmic ? 1 : 0, isLogarithmic ? 10 : 1, isLogarithmic);
        }

        double low = all.Min();
        double high = all.Max();
        if (isLogarithmic)
        {
            double ratio = Math.Max(1.1, Math.Pow(high / low, 0.06));
            return new PlotAxis(label, Math.Max(low / ratio, double.Epsilon), Math.Min(high * ratio, double.MaxValue), true);
        }

        double room = high > low ? 0.06 * (high - low) : Math.Max(1, Math.Abs(high)) * 0.1;
        return new PlotAxis(label, low - room, high + room);
    }

    /// <summary>Place of a value along the axis, 0 to 1 between the ends.</summary>
    internal double PartOf(double value) => IsLogarithmic
        ? Math.Log(value / Low) / Math.Log(High / Low)
        : (value - Low) / (High - Low);

    private static double Widening(double low, double high) =>
        Math.Max(0, LeastPart * Math.Max(Math.Abs(low), Math.Abs(high)) - (high - low)) / 2;
}
