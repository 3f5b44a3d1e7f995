namespace PatternCompiler.BackEnds.Send;

/// <summary>What became of a stream.</summary>
/// <param name="RecordsWritten">Records written completely, by the receiver's word.</param>
/// <param name="Restarts">How often sending went on behind a fault of the link.</param>
/// <param name="WasStopped">Stopped on request, with the receiver's confirmation that the beam is off.</param>
public sealed record SendReport(long RecordsWritten, int Restarts, bool WasStopped);
