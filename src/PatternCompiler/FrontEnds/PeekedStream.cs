namespace PatternCompiler.FrontEnds;

/// <summary>A stream whose first bytes have been looked at already: gives them once more, then goes on. Leaves the inner stream open.</summary>
internal sealed class PeekedStream(ReadOnlyMemory<byte> head, Stream rest) : Stream
{
    private int position;

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => false;

    public override long Length => throw new NotSupportedException();

    public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override int Read(Span<byte> buffer)
    {
        if (position == head.Length)
        {
            return rest.Read(buffer);
        }

        int count = Math.Min(buffer.Length, head.Length - position);
        head.Span.Slice(position, count).CopyTo(buffer);
        position += count;
        return count;
    }

    public override void Flush()
    {
    }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
}
