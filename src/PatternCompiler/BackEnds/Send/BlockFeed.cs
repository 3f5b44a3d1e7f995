using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.BackEnds.Send;

/// <summary>Cuts the bytes of a stream, written in any pieces, into its header and its blocks for a session.</summary>
internal sealed class BlockFeed(SendSession session) : Stream
{
    private readonly byte[] unit = new byte[StreamFormat.BlockHeader + StreamFormat.LargestPayload + StreamFormat.CrcBytes];
    private int used;
    private bool hasHeader;

    /// <inheritdoc/>
    public override bool CanRead => false;

    /// <inheritdoc/>
    public override bool CanSeek => false;

    /// <inheritdoc/>
    public override bool CanWrite => true;

    /// <inheritdoc/>
    public override long Length => throw new NotSupportedException();

    /// <inheritdoc/>
    public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

    /// <summary>True if no unit is begun and not finished.</summary>
    public bool IsAtBoundary => used == 0 && hasHeader;

    /// <inheritdoc/>
    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    /// <inheritdoc/>
    public override void Write(ReadOnlySpan<byte> buffer)
    {
        while (buffer.Length > 0)
        {
            int part = Math.Min(Wanted() - used, buffer.Length);
            buffer[..part].CopyTo(unit.AsSpan(used));
            used += part;
            buffer = buffer[part..];
            if (used == Wanted())
            {
                Pass();
            }
        }
    }

    /// <inheritdoc/>
    public override void Flush()
    {
    }

    /// <inheritdoc/>
    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override void SetLength(long value) => throw new NotSupportedException();

    // Bytes until the next decision: first those that tell the length, then the rest.
    private int Wanted()
    {
        int prefix = hasHeader ? StreamFormat.BlockHeader : StreamFormat.HeaderPrefix;
        if (used < prefix)
        {
            return prefix;
        }

        int lengthOffset = hasHeader ? 2 : StreamFormat.HeaderLengthOffset;
        bool isSound = StreamHeader.TryReadLength(unit.AsSpan(lengthOffset), out int length);
        int whole = hasHeader ? StreamFormat.BlockHeader + length + StreamFormat.CrcBytes : length;
        if (!isSound || whole <= prefix || whole > unit.Length)
        {
            throw new CompileException(
                BackEndCodes.BadBlock, "what is to be sent is no sound exposure stream", fix: "emit it again");
        }

        return whole;
    }

    private void Pass()
    {
        // A prefix that is complete only tells how much more is wanted.
        if (used < Wanted())
        {
            return;
        }

        ReadOnlySpan<byte> whole = unit.AsSpan(0, used);
        used = 0;
        if (hasHeader)
        {
            session.SendBlock(whole);
        }
        else
        {
            hasHeader = true;
            session.SendHeader(whole);
        }
    }
}
