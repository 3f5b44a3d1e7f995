using System.Buffers;
using System.Text;
using YamlDotNet.Core;

namespace PatternCompiler.Jobs.Yaml;

/// <summary>
/// The text of a YAML file in which lines between brackets are moved to the right, where their place means nothing, and
/// where everything stood before that.
/// </summary>
internal sealed class FlowIndentation
{
    /// <summary>Blanks that are put in, in all, before the text is left as it is.</summary>
    private const long MostBlanks = 1 << 24;

    private static readonly SearchValues<char> Closing = SearchValues.Create("]}");

    private readonly string[] lines;
    private readonly HashSet<int> moved = [];
    private readonly string blanks;

    /// <summary>Begins with the lines where they are.</summary>
    public FlowIndentation(string text)
    {
        Text = text;
        lines = text.ReplaceLineEndings("\n").Split('\n');

        // Further right than any line begins is further right than any key that opens a bracket.
        blanks = new string(' ', 1 + lines.Max(line => line.Length - line.AsSpan().TrimStart(" -?").Length));
    }

    /// <summary>The text with the lines moved.</summary>
    public string Text { get; private set; }

    /// <summary>
    /// Moves the line of a place between brackets, and with it all that follow up to the first with a closing bracket: they
    /// begin between the same brackets. False if the line was moved before.
    /// </summary>
    public bool TryMoveRight(Mark place)
    {
        int first = (int)place.Line - 1;
        if (!moved.Add(first))
        {
            return false;
        }

        if ((long)blanks.Length * lines.Length > MostBlanks)
        {
            return false;
        }

        int last = first;
        while (last + 1 < lines.Length && lines[last].AsSpan().IndexOfAny(Closing) < 0)
        {
            moved.Add(++last);
        }

        var text = new StringBuilder();
        for (int i = 0; i < lines.Length; i++)
        {
            text.Append(moved.Contains(i) ? blanks : "").Append(lines[i]).Append('\n');
        }

        text.Length--;
        Text = text.ToString();
        return true;
    }

    /// <summary>Line and column, from 1, in the text as it was given.</summary>
    public (int Line, int Column) PlaceInText(Mark place)
    {
        // The library counts a line that is not there behind a last one without an end.
        if (place.Line > lines.Length)
        {
            return (lines.Length, lines[^1].Length + 1);
        }

        int shift = moved.Contains((int)place.Line - 1) ? blanks.Length : 0;
        return ((int)place.Line, Math.Max(1, (int)place.Column - shift));
    }
}
