using System.Text;
using PatternCompiler.Cli.Terminal;

namespace PatternCompiler.Cli.Manual;

/// <summary>Prints a manual page as plain text.</summary>
internal static class ManualText
{
    private const int Width = 100;
    private const int Indent = 4;
    private const int MeaningIndent = 10;

    /// <summary>The page, every line ended by a line feed.</summary>
    public static string Print(ManualPage page)
    {
        var text = new StringBuilder();
        foreach (ManualSection section in page.Sections)
        {
            text.Append(text.Length == 0 ? "" : "\n").Append(section.Heading).Append('\n');
            bool isFirst = true;
            foreach (ManualBlock block in section.Blocks)
            {
                if (block.Term is null)
                {
                    text.Append(isFirst ? "" : "\n");
                    AppendLines(text, block.Text, Indent);
                }
                else
                {
                    AppendLines(text, block.Term, Indent);
                    AppendLines(text, block.Text, MeaningIndent);
                }

                isFirst = false;
            }
        }

        return text.ToString();
    }

    private static void AppendLines(StringBuilder text, string paragraph, int indent)
    {
        foreach (string line in TextWrap.Lines(paragraph, Width - indent))
        {
            text.Append(' ', indent).Append(line).Append('\n');
        }
    }
}
