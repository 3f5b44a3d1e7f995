namespace PatternCompiler.Model.Figures;

/// <summary>
/// The second document, held whole: flat areas, lines and dots in the order in which they are to be written.
/// Areas of one layer and dose factor do not overlap.
/// </summary>
/// <param name="Header">Grid and layers.</param>
/// <param name="Figures">The figures.</param>
internal sealed record FiguresDocument(FiguresHeader Header, IReadOnlyList<Figure> Figures)
{
    /// <summary>Pushes the document into a sink, e.g. a writer.</summary>
    public void PushTo(IDocumentSink<FiguresHeader, Figure> sink)
    {
        sink.Begin(Header);
        Figure[] all = Figures as Figure[] ?? [.. Figures];
        sink.Write(all);
        sink.End();
    }
}
