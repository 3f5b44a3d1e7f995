namespace PatternCompiler.Measure.Edges;

/// <summary>Greys of one strip in bins of the distance across it; used again for the next one.</summary>
internal sealed class StripBins
{
    private double[] counts = [];
    private double[] distances = [];
    private double[] greys = [];
    private double low;
    private double bin;
    private int size;

    /// <summary>What the edges across add in each bin.</summary>
    public double[] Neighbours { get; private set; } = [];

    /// <summary>Bins with pixels in them.</summary>
    public int Used { get; private set; }

    /// <summary>Empties the bins.</summary>
    public void Start(double from, double to, double width)
    {
        (low, bin, size) = (from, width, (int)Math.Ceiling((to - from) / width));
        if (counts.Length < size)
        {
            (counts, distances, greys, Neighbours) = (new double[size], new double[size], new double[size], new double[size]);
        }

        counts.AsSpan(0, size).Clear();
        distances.AsSpan(0, size).Clear();
        greys.AsSpan(0, size).Clear();
    }

    /// <summary>Adds a pixel.</summary>
    public void Add(double distance, double grey)
    {
        int index = (int)Math.Floor((distance - low) / bin);
        if ((uint)index < (uint)size)
        {
            counts[index]++;
            distances[index] += distance;
            greys[index] += grey;
        }
    }

    /// <summary>From sums to means; empty bins disappear.</summary>
    public int Close()
    {
        Used = 0;
        for (int i = 0; i < size; i++)
        {
            if (counts[i] > 0)
            {
                (double count, double distance, double grey) = (counts[i], distances[i], greys[i]);
                (counts[Used], distances[Used], greys[Used]) = (count, distance / count, grey / count);
                Used++;
            }
        }

        return Used;
    }

    /// <summary>Mean distance of a bin's pixels.</summary>
    public double At(int index) => distances[index];

    /// <summary>Their mean grey.</summary>
    public double Grey(int index) => greys[index];

    /// <summary>Their number.</summary>
    public double Count(int index) => counts[index];
}
