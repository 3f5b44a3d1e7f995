using System.Text;
using PatternCompiler.Cli.Files;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;

namespace PatternCompiler.Cli.Arguments;

/// <summary>
/// Words of a command line from a file: <c>@FILE</c> stands for the words in it, <c>@-</c> for those on standard input.
/// Words are separated by blanks and line ends; quotes keep blanks together; a word that starts with # begins a comment.
/// A plain word that starts with @ is written with two.
/// </summary>
internal static class ResponseFile
{
    /// <summary>Bytes of one file, as many as an operating system would take on a command line.</summary>
    private const int MostBytes = 1 << 21;

    /// <summary>Replaces each <c>@FILE</c>; words from a file are not looked at again, so that files cannot nest.</summary>
    /// <exception cref="CompileException">A file cannot be read, is too long or has a quote without its partner.</exception>
    public static string[] Expand(string[] arguments) =>
        arguments.Any(word => word.StartsWith('@'))
            ? [.. arguments.SelectMany(word => word switch
            {
                ['@', '@', ..] => [word[1..]],
                ['@', _, ..] => Read(word[1..]),
                _ => [word],
            })]
            : arguments;

    /// <summary>The words of a text.</summary>
    /// <param name="text">The text.</param>
    /// <param name="name">File name for messages.</param>
    public static IReadOnlyList<string> Split(string text, string name)
    {
        List<string> words = [];
        int line = 1;
        int i = 0;
        while (true)
        {
            while (i < text.Length && char.IsWhiteSpace(text[i]))
            {
                line += text[i++] == '\n' ? 1 : 0;
            }

            if (i == text.Length)
            {
                return words;
            }

            if (text[i] == '#')
            {
                int end = text.IndexOf('\n', i);
                i = end < 0 ? text.Length : end;
                continue;
            }

            var word = new StringBuilder();
            while (i < text.Length && !char.IsWhiteSpace(text[i]))
            {
                if (text[i] is '"' or '\'')
                {
                    int end = text.IndexOf(text[i], i + 1);
                    int lineEnd = text.IndexOf('\n', i);
                    if (end < 0 || (lineEnd >= 0 && lineEnd < end))
                    {
                        throw new CompileException(
                            CommandCodes.WrongUsage,
                            $"the quote {text[i]} has no partner on its line",
                            new SourcePlace(name, line),
                            "close it, or put the word into quotes of the other kind");
                    }

                    word.Append(text, i + 1, end - i - 1);
                    i = end + 1;
                }
                else
                {
                    word.Append(text[i++]);
                }
            }

            words.Add(word.ToString());
        }
    }

    private static ReadOnlySpan<byte> WithoutMark(ReadOnlySpan<byte> text) => text.StartsWith(Encoding.UTF8.Preamble) ? text[Encoding.UTF8.Preamble.Length..] : text;

    private static IReadOnlyList<string> Read(string name)
    {
        using Stream stream = InputFile.OpenAgainAndAgain(name);
        var buffer = new byte[MostBytes + 1];
        int length;
        try
        {
            length = stream.ReadAtLeast(buffer, buffer.Length, throwOnEndOfStream: false);
        }
        catch (IOException fault)
        {
            throw InputStream.Explain(name, fault);
        }

        return length <= MostBytes
            ? Split(FileName.Decode(WithoutMark(buffer.AsSpan(0, length))), name)
            : throw new CompileException(
                CommandCodes.WrongUsage,
                $"the file has more than {MostBytes} bytes",
                new SourcePlace(name),
                "@ reads words of a command line from a file; a drawing or a job is named without it");
    }
}
