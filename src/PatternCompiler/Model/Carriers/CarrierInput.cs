namespace PatternCompiler.Model.Carriers;

/// <summary>
/// A forward-only byte source whose first bytes can be looked at before it is read: what lets one reader take the text
/// and the binary form of a document from a pipe. Counts the bytes it has handed out.
/// </summary>
internal sealed class CarrierInput(Stream source)
{
    private readonly byte[] peeked = new byte[CarrierMagic.Length];
    private int peekedCount;
    private int peekedUsed;

    /// <summary>Bytes handed out so far.</summary>
    public long Position { get; private set; }

    /// <summary>The first bytes, fewer than <see cref="CarrierMagic.Length"/> only if the source is shorter. Call before any read.</summary>
    public ReadOnlySpan<byte> Peek()
    {
        peekedCount += source.ReadAtLeast(peeked.AsSpan(peekedCount), peeked.Length - peekedCount, throwOnEndOfStream: false);
        return peeked.AsSpan(0, peekedCount);
    }

    /// <summary>Reads some bytes; 0 at the end.</summary>
    public int Read(Span<byte> target)
    {
        int count;
        if (peekedUsed < peekedCount && target.Length > 0)
        {
            count = Math.Min(target.Length, peekedCount - peekedUsed);
            peeked.AsSpan(peekedUsed, count).CopyTo(target);
            peekedUsed += count;
        }
        else
        {
            count = source.Read(target);
        }

        Position += count;
        return count;
    }

    /// <summary>Fills the target as far as the source goes; returns the number of bytes.</summary>
    public int ReadFully(Span<byte> target)
    {
        int total = 0;
        while (total < target.Length)
        {
            int count = Read(target[total..]);
            if (count == 0)
            {
                break;
            }

            total += count;
        }

        return total;
    }
}
