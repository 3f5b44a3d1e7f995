using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Jobs.Fields;

/// <summary>Passes the records of several documents on as one, for a sink that adds them up.</summary>
internal sealed class JoinedRecords(IDocumentSink<RecordsHeader, DeflectionRecord> target) : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private bool hasBegun;

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        if (!hasBegun)
        {
            target.Begin(header);
            hasBegun = true;
        }
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items) => target.Write(items);

    /// <inheritdoc/>
    public void End()
    {
        // More may follow; Complete ends the whole.
    }

    /// <summary>Nothing follows.</summary>
    public void Complete() => target.End();
}
