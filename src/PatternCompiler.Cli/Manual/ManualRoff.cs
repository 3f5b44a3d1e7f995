using System.Globalization;
using System.Text;
using PatternCompiler.Cli.Terminal;

namespace PatternCompiler.Cli.Manual;

/// <summary>
/// Prints a manual page for the program <c>man</c>, in the macros of man(7). It holds no date: the same program prints
/// the same page.
/// </summary>
internal static class ManualRoff
{
    // Short enough for 80 columns with the escapes of a line.
    private const int SourceWidth = 60;

    /// <summary>The page as roff, ASCII only.</summary>
    public static string Print(ManualPage page)
    {
        var text = new StringBuilder();
        text.Append($".TH {Escape(page.Name.ToUpperInvariant())} 1 \"\" \"patternc {Escape(VersionAction.Version)}\" \"PatternCompiler manual\"\n");

        // Left-aligned and unhyphenated: command lines and option names are to be copied.
        text.Append(".nh\n.ad l\n");
        foreach (ManualSection section in page.Sections)
        {
            text.Append(".SH ").Append(section.Heading).Append('\n');
            bool isFirst = true;
            foreach (ManualBlock block in section.Blocks)
            {
                if (block.Term is not null)
                {
                    // A list of choices may be broken after each of them.
                    text.Append(".TP\n\\fB").Append(Escape(block.Term).Replace("|", "|\\:", StringComparison.Ordinal)).Append("\\fR\n");
                }
                else if (!isFirst)
                {
                    text.Append(".PP\n");
                }

                foreach (string line in TextWrap.Lines(block.Text, SourceWidth))
                {
                    text.Append(Line(line)).Append('\n');
                }

                isFirst = false;
            }
        }

        return text.ToString();
    }

    /// <summary>A text line: one that would begin with a dot or a quote is no request.</summary>
    private static string Line(string text) => text.StartsWith('.') || text.StartsWith('\'') ? "\\&" + Escape(text) : Escape(text);

    private static string Escape(string text)
    {
        var result = new StringBuilder(text.Length + 16);
        foreach (Rune rune in text.EnumerateRunes())
        {
            switch (rune.Value)
            {
                case '\\':
                    result.Append("\\e");
                    break;
                case '-':
                    result.Append("\\-");
                    break;
                case '\'':
                    result.Append("\\(aq");
                    break;
                case '"':
                    result.Append("\\(dq");
                    break;
                case '^':
                    result.Append("\\(ha");
                    break;
                case '~':
                    result.Append("\\(ti");
                    break;
                case '`':
                    result.Append("\\(ga");
                    break;
                case < 128:
                    result.Append((char)rune.Value);
                    break;
                default:
                    result.Append("\\[u").Append(rune.Value.ToString("X4", CultureInfo.InvariantCulture)).Append(']');
                    break;
            }
        }

        return result.ToString();
    }
}
