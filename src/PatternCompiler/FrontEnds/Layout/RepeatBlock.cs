using System.Text;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>The body of a <c>repeat</c>, kept line by line until its <c>end</c>.</summary>
/// <param name="block">Where it starts.</param>
/// <param name="count">How often to run it.</param>
/// <param name="variable">Name of the running number, or null.</param>
internal sealed class RepeatBlock(OpenBlock block, int count, string? variable)
{
    private const int CharactersOfOneStatement = 32;

    /// <summary>Where it starts.</summary>
    public OpenBlock Block => block;

    /// <summary>How often to run it.</summary>
    public int Count => count;

    /// <summary>Name of the running number, which counts from 0; or null.</summary>
    public string? Variable => variable;

    /// <summary>Number of <c>repeat</c> blocks inside that are not ended yet.</summary>
    public int InnerBlocks { get; private set; }

    /// <summary>How many statements one run counts for.</summary>
    public long Weight { get; private set; }

    /// <summary>The lines between <c>repeat</c> and its <c>end</c>.</summary>
    public List<KeptLine> Lines { get; } = [];

    /// <summary>Keeps a line of the body; false, and nothing kept, for the <c>end</c> of the block itself.</summary>
    public bool TryKeep(in LineScanner scanner, StatementWord statement)
    {
        if (statement == StatementWord.End && InnerBlocks-- == 0)
        {
            return false;
        }

        Weight += 1 + (scanner.Text.Length / CharactersOfOneStatement);
        InnerBlocks += statement == StatementWord.Repeat ? 1 : 0;
        Lines.Add(new KeptLine(scanner.Text.ToArray(), scanner.Number));
        return true;
    }
}

/// <summary>A line kept for later.</summary>
/// <param name="Text">Its bytes.</param>
/// <param name="Number">Its number in its file.</param>
internal readonly record struct KeptLine(byte[] Text, int Number);

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
