namespace PatternCompiler.Model.Records;

/// <summary>Passes records on, all but markers: for a stage that needs to know figures where the output must not tell them.</summary>
/// <param name="sink">Takes the others.</param>
internal sealed class WithoutMarkers(IDocumentSink<RecordsHeader, DeflectionRecord> sink) : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    /// <inheritdoc/>
    public void Begin(RecordsHeader header) => sink.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        int start = 0;
        for (int i = 0; i < items.Length; i++)
        {
            if (items[i].Kind == RecordKind.Marker)
            {
                Pass(items[start..i]);
                start = i + 1;
            }
        }

        Pass(items[start..]);
    }

    /// <inheritdoc/>
    public void End() => sink.End();

    private void Pass(ReadOnlySpan<DeflectionRecord> items)
    {
        if (!items.IsEmpty)
        {
            sink.Write(items);
        }
    }
}
