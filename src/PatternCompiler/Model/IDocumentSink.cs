namespace PatternCompiler.Model;

/// <summary>
/// Receives a document item by item, so that no stage holds more of it than it needs. Calls come in the order
/// <see cref="Begin"/>, any number of <see cref="Write"/>, <see cref="End"/>; a stage that fails stops without
/// <see cref="End"/>, and the sink's owner discards what was written.
/// </summary>
/// <typeparam name="THeader">What precedes the items.</typeparam>
/// <typeparam name="TItem">One item.</typeparam>
internal interface IDocumentSink<in THeader, TItem>
    where TItem : struct
{
    /// <summary>Starts the document.</summary>
    void Begin(THeader header);

    /// <summary>Takes the next items. The span is only valid during the call.</summary>
    void Write(ReadOnlySpan<TItem> items);

    /// <summary>Ends the document; nothing follows.</summary>
    void End();
}
