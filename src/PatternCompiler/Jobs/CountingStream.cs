namespace PatternCompiler.Jobs;

/// <summary>Passes bytes on and counts them. Stays open when disposed: its owner closes the target.</summary>
internal sealed class CountingStream(Stream target) : Stream
{
    /// <summary>Bytes written so far.</summary>
    public long Count { get; private set; }

    /// <inheritdoc/>
    public override bool CanRead => false;

    /// <inheritdoc/>
    public override bool CanSeek => target.CanSeek;

    /// <inheritdoc/>
    public override bool CanWrite => true;

    /// <inheritdoc/>
    public override long Length => throw new NotSupportedException();

    /// <inheritdoc/>
    public override long Position { get => target.CanSeek ? target.Position : Count; set => target.Position = value; }

    /// <inheritdoc/>
    public override void Write(ReadOnlySpan<byte> buffer)
    {
        target.Write(buffer);

        // What is written again in its place (sizes in a header) counts once.
        Count = target.CanSeek ? Math.Max(Count, target.Position) : Count + buffer.Length;
    }

    /// <inheritdoc/>
    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    /// <inheritdoc/>
    public override void Flush() => target.Flush();

    /// <inheritdoc/>
    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override long Seek(long offset, SeekOrigin origin) => target.Seek(offset, origin);

    /// <inheritdoc/>
    public override void SetLength(long value) => throw new NotSupportedException();
}
