namespace PatternCompiler.BackEnds.Send;

/// <summary>How a stream is sent.</summary>
/// <param name="Patience">How long a silent receiver is waited for beyond the time that the records take.</param>
/// <param name="MostRestarts">How often sending goes on behind a fault of the link before it gives up.</param>
/// <param name="FirstRecord">Number of the first record to send, 0 for the whole stream.</param>
public sealed record SendOptions(TimeSpan Patience, int MostRestarts, long FirstRecord)
{
    /// <summary>Five seconds, three restarts, everything.</summary>
    public static SendOptions Default { get; } = new(TimeSpan.FromSeconds(5), 3, 0);
}
