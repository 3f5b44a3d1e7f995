using System.Runtime.InteropServices;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Cli.Files;

/// <summary>Sends figures that are held whole into a sink.</summary>
internal static class FiguresPump
{
    private const int BatchSize = 1024;

    public static void Send(FiguresDocument document, IDocumentSink<FiguresHeader, Figure> sink, CancellationToken cancellation)
    {
        sink.Begin(document.Header);
        if (document.Figures is List<Figure> list)
        {
            ReadOnlySpan<Figure> rest = CollectionsMarshal.AsSpan(list);
            while (rest.Length > 0)
            {
                cancellation.ThrowIfCancellationRequested();
                int count = Math.Min(BatchSize, rest.Length);
                sink.Write(rest[..count]);
                rest = rest[count..];
            }
        }
        else
        {
            foreach (Figure[] batch in document.Figures.Chunk(BatchSize))
            {
                cancellation.ThrowIfCancellationRequested();
                sink.Write(batch);
            }
        }

        sink.End();
    }
}
