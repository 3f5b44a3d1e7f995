using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Model.Carriers;

/// <summary>What the text carriers have in common: the first line, the end line, and nothing after it.</summary>
internal static class TextDocument
{
    private const string Version = "1";

    /// <summary>Reads "name version".</summary>
    public static void ReadFirstLine(Utf8LineReader reader, ReadOnlySpan<byte> name)
    {
        var cursor = new LineCursor(ReadLine(reader, "the first line"), reader);
        cursor.Expect(name);
        ReadOnlySpan<byte> version = cursor.Field();
        if (!version.SequenceEqual("1"u8))
        {
            cursor.Fail(
                DocumentCodes.UnsupportedVersion,
                $"this is version {QuotedText.Quote(Encoding.UTF8.GetString(version))} of the text form, known is version {Version}",
                "write the document again with this version of the program, or update the program");
        }

        cursor.End();
    }

    /// <summary>The next line, which has to exist.</summary>
    public static ReadOnlySpan<byte> ReadLine(Utf8LineReader reader, string wanted)
    {
        if (!reader.TryRead(out ReadOnlySpan<byte> line))
        {
            throw new CompileException(
                DocumentCodes.Truncated,
                $"the document stops after line {reader.LineNumber} where {wanted} belongs",
                new SourcePlace(reader.Name, reader.LineNumber),
                "make it again; the stage or copy that wrote it did not finish");
        }

        return line;
    }

    /// <summary>Reads one number of the end line and compares it with what was read.</summary>
    public static void ReadTotal(ref LineCursor cursor, string what, long counted)
    {
        long stated = cursor.Integer($"the number of {what}", 0, long.MaxValue);
        if (stated != counted)
        {
            cursor.Fail(
                DocumentCodes.TotalsDiffer,
                $"the end line states {stated} {what}, the document holds {counted}",
                $"make the document again, or after a deliberate edit write {counted}");
        }
    }

    /// <summary>Checks that only blank lines and comments follow the end line.</summary>
    public static void CheckNothingFollows(Utf8LineReader reader)
    {
        if (reader.TryRead(out ReadOnlySpan<byte> line))
        {
            new LineCursor(line, reader).Fail(
                DocumentCodes.AfterEnd, "something follows the end line", "give one document at a time");
        }
    }
}
