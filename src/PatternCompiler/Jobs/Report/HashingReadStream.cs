using System.Security.Cryptography;

namespace PatternCompiler.Jobs.Report;

/// <summary>Passes bytes on and hashes them. Disposing reads what is left, so that the hash is that of the whole content.</summary>
internal sealed class HashingReadStream(Stream inner, Action<long, string> finished) : Stream
{
    private const int BytesAtOnce = 1 << 16;
    private readonly IncrementalHash hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
    private long count;
    private bool isFinished;

    /// <inheritdoc/>
    public override bool CanRead => true;

    /// <inheritdoc/>
    public override bool CanSeek => false;

    /// <inheritdoc/>
    public override bool CanWrite => false;

    /// <inheritdoc/>
    public override long Length => throw new NotSupportedException();

    /// <inheritdoc/>
    public override long Position { get => count; set => throw new NotSupportedException(); }

    /// <inheritdoc/>
    public override int Read(Span<byte> buffer)
    {
        int read = inner.Read(buffer);
        hash.AppendData(buffer[..read]);
        count += read;
        return read;
    }

    /// <inheritdoc/>
    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    /// <inheritdoc/>
    public override void Flush()
    {
    }

    /// <inheritdoc/>
    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override void SetLength(long value) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    /// <inheritdoc/>
    protected override void Dispose(bool disposing)
    {
        if (disposing && !isFinished)
        {
            isFinished = true;
            byte[] rest = new byte[BytesAtOnce];
            while (Read(rest.AsSpan()) > 0)
            {
            }

            finished(count, Convert.ToHexStringLower(hash.GetHashAndReset()));
            hash.Dispose();
            inner.Dispose();
        }

        base.Dispose(disposing);
    }
}
