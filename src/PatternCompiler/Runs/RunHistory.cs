using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Runs;

/// <summary>
/// What a log tells of a stream's last run, and how a new part fits to it: what is in the resist by the log is not sent again, and the
/// parts of a run that was stopped join.
/// </summary>
/// <param name="Run">Which run; null if the log knows none of this stream.</param>
/// <param name="Part">Its last part.</param>
/// <param name="Written">Records that were written, all parts together.</param>
/// <param name="IsComplete">Every record was written.</param>
/// <param name="Ended">When the last line of it was written.</param>
/// <param name="EndsInMiddle">The log's last line is not whole: whoever wrote it was cut short.</param>
internal sealed record RunHistory(string? Run, int Part, long Written, bool IsComplete, DateTime Ended, bool EndsInMiddle)
{
    /// <summary>Reads a log.</summary>
    /// <param name="log">The log; stays open.</param>
    /// <param name="name">Its name for messages.</param>
    /// <param name="sha256">Hash of the stream that is to be sent; null for one from a pipe, of which no log knows anything.</param>
    /// <exception cref="CompileException">It is no log of runs.</exception>
    public static RunHistory Read(Stream log, string name, string? sha256)
    {
        var found = new RunHistory(null, 0, 0, false, default, false);
        string? step = null;
        foreach (RunLogLine line in RunLogReader.Read(log, name, out bool endsInMiddle))
        {
            found = found with { EndsInMiddle = endsInMiddle };
            if (line.Event == RunEvent.Started && sha256 is not null && line.Sha256 == sha256)
            {
                long before = line.Run == found.Run ? found.Written : (line.From ?? 1) - 1;
                found = found with { Run = line.Run, Part = line.Part, Written = before, IsComplete = false, Ended = line.Time };
                step = line.Step;
            }
            else if (line.Run == found.Run && line.Step == step && line.Event is not (RunEvent.Noted or RunEvent.Answered))
            {
                found = found with { Written = Math.Max(found.Written, line.Written ?? 0), IsComplete = line.Event == RunEvent.Written, Ended = line.Time };
            }
        }

        return found;
    }

    /// <summary>Which run and part a sending from a record on is.</summary>
    /// <param name="from">First record, counted from 1.</param>
    /// <param name="fresh">Name for a run that joins none.</param>
    /// <param name="log">Name of the log for messages.</param>
    /// <param name="sink">Takes warnings.</param>
    /// <exception cref="CompileException">By the log, these records are in the resist.</exception>
    public (string Run, int Part) Join(long from, string fresh, string log, DiagnosticSink sink)
    {
        if (Run is null)
        {
            return (fresh, 1);
        }

        if (from > 1)
        {
            if (from <= Written)
            {
                throw new CompileException(
                    RunCodes.WrittenAlready,
                    string.Create(CultureInfo.InvariantCulture, $"records {from} to {Written} of this stream are in the resist by this log: the run ended {Ended:yyyy-MM-dd HH:mm:ss} UTC"),
                    new SourcePlace(log),
                    IsComplete
                        ? "for another sample send the whole stream, or name another log"
                        : string.Create(CultureInfo.InvariantCulture, $"go on with --from {Written + 1}; for another sample name another log"));
            }

            if (from > Written + 1)
            {
                sink.Warn(
                    RunCodes.LeftOut,
                    string.Create(CultureInfo.InvariantCulture, $"records {Written + 1} to {from - 1} of this stream are written by no part of this run"),
                    new SourcePlace(log),
                    "if they are not in the resist, send them, too");
            }

            return (Run, Part + 1);
        }

        if (!IsComplete && Written > 0)
        {
            sink.Warn(
                RunCodes.BegunAgain,
                string.Create(CultureInfo.InvariantCulture, $"this stream was sent before and ended after record {Written} at {Ended:yyyy-MM-dd HH:mm:ss} UTC; now it begins anew, and on the same sample those records are written twice"),
                new SourcePlace(log),
                string.Create(CultureInfo.InvariantCulture, $"on the same sample stop, and go on with --from {Written + 1}"));
        }

        return (fresh, 1);
    }
}
