namespace PatternCompiler.BackEnds.Send;

/// <summary>What became of a stream.</summary>
/// <param name="RecordsWritten">Records written completely, by the receiver's word.</param>
/// <param name="Retries">How often sending went on after a fault of the link.</param>
/// <param name="WasStopped">Stopped on request, with the receiver's confirmation that the beam is off.</param>
internal sealed record SendReport(long RecordsWritten, int Retries, bool WasStopped);
