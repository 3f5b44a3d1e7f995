using System.Buffers.Binary;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Send;

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

    /// <summary>True if the end block has been sent.</summary>
    public bool HasEnded { get; private set; }

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
            throw NotSound();
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
            SendBlock(whole);
        }
        else
        {
            hasHeader = true;
            session.SendHeader(whole);
        }
    }

    // A stream from a pipe has not been checked before.
    private void SendBlock(ReadOnlySpan<byte> block)
    {
        ReadOnlySpan<byte> covered = block[..^StreamFormat.CrcBytes];
        if (HasEnded)
        {
            throw new CompileException(BackEndCodes.AfterEnd, "more bytes follow the end of the stream", fix: "give one stream at a time");
        }

        if (block[0] is not (StreamFormat.RecordsBlock or StreamFormat.EndBlock) ||
            Crc32C.Of(covered) != BinaryPrimitives.ReadUInt32LittleEndian(block[covered.Length..]))
        {
            throw NotSound();
        }

        HasEnded = block[0] == StreamFormat.EndBlock;
        session.SendBlock(block);
    }

    private static CompileException NotSound() =>
        new(BackEndCodes.BadBlock, "what is to be sent is no valid exposure stream", fix: "emit it again");
}
