namespace PatternCompiler.Jobs;

/// <summary>Passes bytes on and counts them. Stays open when disposed: its owner closes the target.</summary>
internal sealed class CountingStream(Stream target) : Stream
{
    /// <summary>Bytes written so far.</summary>
    public long Count { get; private set; }

    /// <inheritdoc/>
    public override bool CanRead => false;

    /// <inheritdoc/>
    public override bool CanSeek => false;

    /// <inheritdoc/>
    public override bool CanWrite => true;

    /// <inheritdoc/>
    public override long Length => throw new NotSupportedException();

    /// <inheritdoc/>
    public override long Position { get => Count; set => throw new NotSupportedException(); }

    /// <inheritdoc/>
    public override void Write(ReadOnlySpan<byte> buffer)
    {
        target.Write(buffer);
        Count += buffer.Length;
    }

    /// <inheritdoc/>
    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    /// <inheritdoc/>
    public override void Flush() => target.Flush();

    /// <inheritdoc/>
    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override void SetLength(long value) => throw new NotSupportedException();
}
