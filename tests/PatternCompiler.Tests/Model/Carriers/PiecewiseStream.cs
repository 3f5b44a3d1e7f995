namespace PatternCompiler.Tests.Model.Carriers;

/// <summary>Hands out its bytes in pieces of odd sizes, as pipes do.</summary>
internal sealed class PiecewiseStream(byte[] bytes, int largestPiece) : Stream
{
    private int position;
    private int piece;

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => false;

    public override long Length => throw new NotSupportedException();

    public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override int Read(Span<byte> buffer)
    {
        piece = piece % largestPiece + 1;
        int count = Math.Min(Math.Min(piece, buffer.Length), bytes.Length - position);
        bytes.AsSpan(position, count).CopyTo(buffer);
        position += count;
        return count;
    }

    public override void Flush() => throw new NotSupportedException();

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
}
