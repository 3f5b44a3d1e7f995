namespace PatternCompiler.Cli.Terminal;

/// <summary>Breaks a paragraph into lines at spaces.</summary>
internal static class TextWrap
{
    /// <summary>Lines of at most <paramref name="width"/> characters, except where one word is longer.</summary>
    public static IEnumerable<string> Lines(string paragraph, int width)
    {
        int start = 0;
        while (paragraph.Length - start > width)
        {
            int space = paragraph.LastIndexOf(' ', start + width, width + 1);
            if (space <= start)
            {
                space = paragraph.IndexOf(' ', start + width);
                if (space < 0)
                {
                    break;
                }
            }

            yield return paragraph[start..space];
            start = space + 1;
        }

        yield return paragraph[start..];
    }
}
