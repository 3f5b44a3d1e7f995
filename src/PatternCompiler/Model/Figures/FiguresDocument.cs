using System.Collections.Immutable;

namespace PatternCompiler.Model.Figures;

/// <summary>
/// The second document, held whole: flat areas, lines and dots in the order in which they are to be written.
/// Areas of one layer and dose factor do not overlap.
/// </summary>
/// <param name="Header">Grid and layers.</param>
/// <param name="Figures">The figures.</param>
internal sealed record FiguresDocument(FiguresHeader Header, IReadOnlyList<Figure> Figures)
{
    private const int FiguresAtOnce = 4096;

    /// <summary>Pushes the document into a sink, e.g. a writer.</summary>
    public void PushTo(IDocumentSink<FiguresHeader, Figure> sink, CancellationToken cancellation)
    {
        sink.Begin(Header);
        var batch = new Figure[Math.Min(FiguresAtOnce, Figures.Count)];
        for (int start = 0; start < Figures.Count; start += batch.Length)
        {
            cancellation.ThrowIfCancellationRequested();
            int count = Math.Min(batch.Length, Figures.Count - start);
            for (int i = 0; i < count; i++)
            {
                batch[i] = Figures[start + i];
            }

            sink.Write(batch.AsSpan(0, count));
        }

        sink.End();
    }
}

/// <summary>What precedes the figures of a figures document.</summary>
/// <param name="GridPicometres">Size of one grid step in picometres.</param>
/// <param name="Layers">Layer names; figures refer to them by index.</param>
internal sealed record FiguresHeader(long GridPicometres, ImmutableArray<string> Layers);
