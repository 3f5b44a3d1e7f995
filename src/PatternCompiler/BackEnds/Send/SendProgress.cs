namespace PatternCompiler.BackEnds.Send;

/// <summary>How far the receiver is, by its own word.</summary>
/// <param name="RecordsWritten">Records of the stream written completely.</param>
/// <param name="TotalRecords">Records of the stream, 0 if unknown because it comes from a pipe.</param>
/// <param name="SecondsWritten">Writing time of the records written since sending began.</param>
/// <param name="SecondsLeft">Writing time of those not yet written, or null if unknown.</param>
/// <param name="Event">What has just happened, in words for a log, or null for mere progress.</param>
internal sealed record SendProgress(long RecordsWritten, long TotalRecords, double SecondsWritten, double? SecondsLeft, string? Event);
