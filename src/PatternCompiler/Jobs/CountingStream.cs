using System.Security.Cryptography;

namespace PatternCompiler.Jobs;

/// <summary>Passes bytes on, counts and hashes them. Stays open when disposed: its owner closes the target.</summary>
/// <param name="target">Takes the bytes.</param>
/// <param name="hashes">Hash them.</param>
internal sealed class CountingStream(Stream target, bool hashes = false) : Stream
{
    private readonly IncrementalHash? hash = hashes ? IncrementalHash.CreateHash(HashAlgorithmName.SHA256) : null;
    private readonly long start = target.CanSeek ? target.Position : 0;
    private bool isRewritten;

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
    public override long Position { get => target.CanSeek ? target.Position : Count; set => MoveTo(value); }

    /// <summary>SHA-256 of everything in hexadecimal; null if it was not asked for, or cannot be read again where it was rewritten.</summary>
    public string? Hash()
    {
        if (hash is null || (isRewritten && !target.CanRead))
        {
            return null;
        }

        if (!isRewritten)
        {
            return Convert.ToHexStringLower(hash.GetCurrentHash());
        }

        target.Flush();
        target.Position = start;
        string all = Convert.ToHexStringLower(SHA256.HashData(target));
        target.Position = start + Count;
        return all;
    }

    /// <inheritdoc/>
    public override void Write(ReadOnlySpan<byte> buffer)
    {
        target.Write(buffer);
        hash?.AppendData(buffer);

        // What is written again in its place (sizes in a header) counts once.
        Count = target.CanSeek ? Math.Max(Count, target.Position - start) : Count + buffer.Length;
    }

    /// <inheritdoc/>
    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    /// <inheritdoc/>
    public override void Flush() => target.Flush();

    /// <inheritdoc/>
    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override long Seek(long offset, SeekOrigin origin)
    {
        isRewritten = true;
        return target.Seek(offset, origin);
    }

    /// <inheritdoc/>
    public override void SetLength(long value) => throw new NotSupportedException();

    private void MoveTo(long position)
    {
        isRewritten = true;
        target.Position = position;
    }
}
