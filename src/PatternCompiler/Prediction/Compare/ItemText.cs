using System.Text;
using PatternCompiler.Model;

namespace PatternCompiler.Prediction.Compare;

/// <summary>One item of a document as its text form prints it.</summary>
internal static class ItemText
{
    /// <summary>Writes a document of this one item and takes the line before its end.</summary>
    public static string Of<THeader, TItem>(Func<Stream, IDocumentSink<THeader, TItem>> open, THeader header, TItem item)
        where TItem : struct
    {
        using var text = new MemoryStream();
        IDocumentSink<THeader, TItem> writer = open(text);
        writer.Begin(header);
        writer.Write([item]);
        writer.End();
        string[] lines = Encoding.UTF8.GetString(text.ToArray()).TrimEnd('\n').Split('\n');
        return lines[^2];
    }
}
