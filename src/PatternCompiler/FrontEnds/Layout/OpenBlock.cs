using System.Text;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>A block whose <c>end</c> is still to come.</summary>
/// <param name="Word">The word that opened it.</param>
/// <param name="Place">Where that word stands.</param>
/// <param name="SourceLine">The line it stands in.</param>
internal sealed record OpenBlock(string Word, SourcePlace Place, string SourceLine)
{
    /// <summary>A block that the scanner's line opens.</summary>
    public static OpenBlock At(in LineScanner scanner, string word, int position) =>
        new(word, scanner.PlaceOf(position), Encoding.UTF8.GetString(scanner.Text));
}
