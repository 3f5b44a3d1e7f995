using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Model.Carriers;

/// <summary>
/// Reads a text carrier line by line. Blank lines and lines that start with <c>#</c> are skipped; a carriage return
/// before the line feed is dropped. A line that is no UTF-8 is refused. Memory is bounded by the longest line allowed.
/// </summary>
internal sealed class Utf8LineReader(CarrierInput input, string name)
{
    private const int LongestLine = 1 << 16;

    private byte[] buffer = new byte[LongestLine];
    private int start;
    private long lineOffset;
    private int end;
    private bool atEnd;

    /// <summary>1-based number of the line read last.</summary>
    public int LineNumber { get; private set; }

    /// <summary>Name of the document for error messages.</summary>
    public string Name => name;

    /// <summary>Lines that start with <c>#</c> say something in this form.</summary>
    public bool KeepsHashes { get; init; }

    /// <summary>The next line that says something; false at the end of the document. Valid until the next call.</summary>
    public bool TryRead(out ReadOnlySpan<byte> line)
    {
        while (TryReadAny(out line))
        {
            Utf8Text.Require(line, name, LineNumber, lineOffset);
            ReadOnlySpan<byte> content = line.TrimStart((byte)' ');
            if (content.Length > 0 && (KeepsHashes || content[0] != '#'))
            {
                return true;
            }
        }

        return false;
    }

    private bool TryReadAny(out ReadOnlySpan<byte> line)
    {
        lineOffset = input.Position - (end - start);
        int searched = 0;
        while (true)
        {
            int found = buffer.AsSpan(start + searched, end - start - searched).IndexOf((byte)'\n');
            if (found >= 0)
            {
                int length = searched + found;
                line = WithoutReturn(buffer.AsSpan(start, length));
                start += length + 1;
                LineNumber++;
                return true;
            }

            searched = end - start;
            if (atEnd)
            {
                line = WithoutReturn(buffer.AsSpan(start, searched));
                start = end;
                LineNumber += searched > 0 ? 1 : 0;
                return searched > 0;
            }

            Fill();
        }
    }

    private static ReadOnlySpan<byte> WithoutReturn(ReadOnlySpan<byte> line) =>
        line.Length > 0 && line[^1] == '\r' ? line[..^1] : line;

    private void Fill()
    {
        if (start > 0)
        {
            buffer.AsSpan(start, end - start).CopyTo(buffer);
            end -= start;
            start = 0;
        }

        if (end == buffer.Length)
        {
            throw new CompileException(
                DocumentCodes.Malformed,
                $"a line is longer than {LongestLine} bytes",
                new SourcePlace(name, LineNumber + 1),
                "check that the file is a text document of this program");
        }

        int count = input.Read(buffer.AsSpan(end));
        end += count;
        atEnd = count == 0;
    }
}
