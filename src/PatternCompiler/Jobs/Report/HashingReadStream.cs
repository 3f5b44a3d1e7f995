using System.Security.Cryptography;

namespace PatternCompiler.Jobs.Report;

/// <summary>Passes bytes on and hashes them. Stays open when disposed, until <see cref="Finish"/> or <see cref="Release"/>.</summary>
internal sealed class HashingReadStream(Stream inner) : Stream
{
    private const int BytesAtOnce = 1 << 16;
    private readonly IncrementalHash hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
    private long count;

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

    /// <summary>Reads what is left and closes; number of all bytes and their hash in hexadecimal.</summary>
    public (long Bytes, string Hash) Finish()
    {
        byte[] rest = new byte[BytesAtOnce];
        while (Read(rest.AsSpan()) > 0)
        {
        }

        (long, string) result = (count, Convert.ToHexStringLower(hash.GetHashAndReset()));
        Release();
        return result;
    }

    /// <summary>Closes without reading what is left.</summary>
    public void Release()
    {
        hash.Dispose();
        inner.Dispose();
    }
}
