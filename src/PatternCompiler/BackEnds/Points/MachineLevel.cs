using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Points;

/// <summary>
/// Compares the level of the blank line that records state with that of the machine on whose behalf they are emitted, and
/// fills it in where they state none.
/// </summary>
/// <param name="name">Name of the records, for messages.</param>
/// <param name="level">The machine's level.</param>
/// <param name="next">Takes the records.</param>
internal sealed class MachineLevel(string name, BlankLevel level, IDocumentSink<RecordsHeader, DeflectionRecord> next)
    : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        if (header.BlankLevel != BlankLevel.NotStated && header.BlankLevel != level)
        {
            throw BlankLine.Mismatch(new SourcePlace(name), level, header.BlankLevel, "the records are");
        }

        next.Begin(header with { BlankLevel = level });
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items) => next.Write(items);

    /// <inheritdoc/>
    public void End() => next.End();
}
