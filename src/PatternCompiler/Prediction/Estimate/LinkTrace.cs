using PatternCompiler.Instrument;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// Follows the controller's buffer while records are used up and the link fills it again. Each record's bytes are taken
/// to leave the buffer evenly while the record runs. The write starts with a full buffer.
/// </summary>
internal sealed class LinkTrace
{
    // The busiest stretch is searched in steps of this part of the buffer.
    private const int StepsPerBuffer = 64;
    private readonly Link link;
    private readonly double stepBytes;
    private readonly double[] stepSeconds = new double[StepsPerBuffer];
    private double level;
    private double filledBytes;
    private double filledSeconds;
    private double windowSeconds;
    private long steps;
    private double totalBytes;
    private double totalSeconds;
    private double longestSeconds;
    private StallPlace? worst;
    private StallPlace? first;
    private double stallSeconds;
    private long stalls;
    private bool isStalling;

    public LinkTrace(Link link)
    {
        this.link = link;
        level = link.BufferBytes;
        stepBytes = Math.Max(1.0, link.BufferBytes / (double)StepsPerBuffer);
    }

    /// <summary>Takes the next record.</summary>
    /// <param name="bytes">Its bytes in the stream.</param>
    /// <param name="seconds">How long it runs.</param>
    /// <param name="record">Its number, 0-based.</param>
    /// <param name="figure">Number of the figure it belongs to, −1 if unknown.</param>
    /// <param name="place">Where the beam is.</param>
    public void Take(double bytes, double seconds, long record, long figure, (double X, double Y) place)
    {
        FollowRate(bytes, seconds);
        double net = link.BytesPerSecond * seconds - bytes;
        if (level + net >= -1e-9)
        {
            level = Math.Min(link.BufferBytes, Math.Max(0, level + net));
            isStalling &= net <= 0;
        }
        else
        {
            Stall(-(level + net) / link.BytesPerSecond, record, figure, place);
            level = 0;
        }

        totalBytes += bytes;
        totalSeconds += seconds;
    }

    /// <summary>What was found.</summary>
    public LinkEstimate ToEstimate() => new(
        link.BytesPerSecond,
        link.BufferBytes,
        totalSeconds > 0 ? totalBytes / totalSeconds : 0,
        BusiestBytesPerSecond,
        stalls,
        stallSeconds,
        longestSeconds,
        first,
        worst);

    // A document that fits the buffer never needs the link while it is written.
    private double busiest;

    private double BusiestBytesPerSecond => steps >= StepsPerBuffer ? busiest : 0;

    // Stalls that follow each other while the buffer stays empty count as one.
    private void Stall(double seconds, long record, long figure, (double X, double Y) place)
    {
        var here = new StallPlace(record, figure, place.X, place.Y, totalSeconds + stallSeconds);
        stallSeconds += seconds;
        stalls += isStalling ? 0 : 1;
        first ??= here;
        if (seconds > longestSeconds)
        {
            longestSeconds = seconds;
            worst = here;
        }

        isStalling = true;
    }

    private void FollowRate(double bytes, double seconds)
    {
        while (bytes > 0)
        {
            double part = Math.Min(1, (stepBytes - filledBytes) / bytes);
            filledBytes += bytes * part;
            filledSeconds += seconds * part;
            seconds -= seconds * part;
            bytes -= bytes * part;
            if (filledBytes < stepBytes * (1 - 1e-12))
            {
                return;
            }

            int slot = (int)(steps++ % StepsPerBuffer);
            windowSeconds += filledSeconds - stepSeconds[slot];
            stepSeconds[slot] = filledSeconds;
            (filledBytes, filledSeconds) = (0, 0);
            if (steps >= StepsPerBuffer && windowSeconds > 0)
            {
                busiest = Math.Max(busiest, stepBytes * StepsPerBuffer / windowSeconds);
            }
        }

        filledSeconds += seconds;
    }
}
