using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Limits;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>
/// Cuts a stream into lines of bytes without ever holding more than a buffer of it. Accepts LF and CR LF, a UTF-8
/// byte-order mark, and a last line without an end; a line that is no UTF-8 is refused.
/// </summary>
internal sealed class LineSource(Stream input, string fileName, WorkLimits limits)
{
    private byte[] buffer = new byte[1 << 16];
    private int start;
    private int end;
    private bool isAtEnd;
    private long bytesRead;

    /// <summary>Number of the line last read, from 1.</summary>
    public int Number { get; private set; }

    /// <summary>The next line without its end; valid until the next call. False after the last.</summary>
    public bool TryRead(out ReadOnlySpan<byte> line)
    {
        int searched = start;
        while (true)
        {
            int found = buffer.AsSpan(searched, end - searched).IndexOf((byte)'\n');
            if (found >= 0 || (isAtEnd && end > start))
            {
                int lineEnd = found >= 0 ? searched + found : end;
                line = buffer.AsSpan(start, lineEnd - start);
                long offset = bytesRead - (end - start);
                start = found >= 0 ? lineEnd + 1 : end;
                Number++;
                Utf8Text.Require(line, fileName, Number, offset);
                Trim(ref line);
                return true;
            }

            if (isAtEnd)
            {
                line = default;
                return false;
            }

            searched = Fill(end);
        }
    }

    private void Trim(ref ReadOnlySpan<byte> line)
    {
        if (Number == 1 && line.StartsWith("\uFEFF"u8))
        {
            line = line[3..];
        }

        if (line.Length > 0 && line[^1] == (byte)'\r')
        {
            line = line[..^1];
        }
    }

    /// <summary>Reads on; gives the new position of what was at <paramref name="position"/>.</summary>
    private int Fill(int position)
    {
        if (end - start > limits[WorkKind.Text])
        {
            throw new CompileException(
                LayoutCodes.TooMuch,
                limits[WorkKind.Text] % (1 << 20) == 0 ? $"a line is longer than {limits[WorkKind.Text] >> 20} MiB" : $"a line is longer than {limits[WorkKind.Text]} bytes",
                new SourcePlace(fileName, Number + 1),
                "write the points of a shape over several lines, each starting with a point; or raise 'limits: text' in the job");
        }

        if (start > 0)
        {
            buffer.AsSpan(start, end - start).CopyTo(buffer);
            position -= start;
            end -= start;
            start = 0;
        }

        if (end == buffer.Length)
        {
            Array.Resize(ref buffer, buffer.Length * 2);
        }

        int count = input.Read(buffer, end, buffer.Length - end);
        isAtEnd = count == 0;
        end += count;
        bytesRead += count;
        return position;
    }
}
