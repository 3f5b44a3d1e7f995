namespace PatternCompiler.BackEnds.Send;

/// <summary>How a stream is sent.</summary>
/// <param name="Timeout">How long a silent receiver is waited for beyond the time that the records take.</param>
/// <param name="MostRetries">How often sending goes on after a fault of the link before it gives up.</param>
/// <param name="FirstRecord">Number of the first record to send, 0 for the whole stream.</param>
internal sealed record SendOptions(TimeSpan Timeout, int MostRetries, long FirstRecord)
{
    /// <summary>Five seconds, three retries, everything.</summary>
    public static SendOptions Default { get; } = new(TimeSpan.FromSeconds(5), 3, 0);
}
