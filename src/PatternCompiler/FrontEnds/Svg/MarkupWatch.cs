using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Limits;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>
/// Passes XML on and fails where no "&lt;" comes for longer than is allowed. An attribute cannot hold one (XML 1.0, 2.3), and
/// an XML reader takes it whole into memory: one endless attribute would fill it.
/// </summary>
internal sealed class MarkupWatch(Stream input, string file, WorkLimits limits) : Stream
{
    private readonly long most = limits[WorkKind.Text];
    private long since;
    private int line = 1;
    private int lineOfMarkup = 1;

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => false;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override int Read(Span<byte> buffer)
    {
        int count = input.Read(buffer);
        Watch(buffer[..count]);
        return count;
    }

    public override void Flush()
    {
    }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    private void Watch(ReadOnlySpan<byte> bytes)
    {
        while (true)
        {
            int next = bytes.IndexOf((byte)'<');
            ReadOnlySpan<byte> run = next < 0 ? bytes : bytes[..next];
            since += run.Length;
            if (since > most)
            {
                throw Fault(file, lineOfMarkup, most);
            }

            line += run.Count((byte)'\n');
            if (next < 0)
            {
                return;
            }

            (lineOfMarkup, since) = (line, 0);
            bytes = bytes[(next + 1)..];
        }
    }

    /// <summary>The error where an attribute or a text is too long.</summary>
    public static CompileException Fault(string file, int line, long most) => new(
        LimitCodes.TooMuchWork,
        $"an attribute, a text or a comment here is longer than the {most} bytes that are allowed",
        new SourcePlace(file, line),
        $"draw it as several shapes, or take out an embedded picture; if it is meant so, raise 'limits: {WorkKind.Text.Key}' in the job");
}
