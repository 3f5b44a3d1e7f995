using System.Buffers.Binary;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>The receiver in C says what the section "On a link" of the stream's page wants, word for word.</summary>
public sealed class ReceiverMessagesTests(CReceiver receiver) : IClassFixture<CReceiver>
{
    private const int MessageLength = 20;

    // Blocks that the receiver holds.
    private const uint Rooms = 2;

    // The level that the stream states.
    private const int BlanksLow = 2;
    private static readonly byte[] Stop = new byte[1024];
    private static readonly byte[] Stream = File.ReadAllBytes(Path.Combine(CReceiver.Vectors, "lines-written-as-points-12-bit.stream"));
    private static readonly int HeaderLength = BinaryPrimitives.ReadUInt16LittleEndian(Stream.AsSpan(8));
    private static readonly uint Blocks = CountBlocks();

    private static readonly Said PowerUp = new('I', 0, 0, 0);

    [Fact]
    public void A_whole_stream_is_credited_block_by_block_and_done_counts_the_end_block()
    {
        Assert.True(Blocks > 4);
        Assert.Equal(
            [PowerUp, .. Enumerable.Range(0, (int)Blocks).Select(i => new Said('C', 0, (uint)i + Rooms, (uint)i)), new Said('D', 0, 0, Blocks)],
            Messages(Stream));
    }

    [Fact]
    public void A_stop_at_rest_is_answered_by_the_last_message()
    {
        Assert.Equal([PowerUp], Messages(Stop));
        Assert.Equal(new Said('D', 0, 0, Blocks), Messages([.. Stream, .. Stop])[^1]);
    }

    [Fact]
    public void A_stop_between_blocks_and_one_within_a_block_have_the_progress_of_the_stream()
    {
        int firstBlock = HeaderLength + 14 + BinaryPrimitives.ReadUInt16LittleEndian(Stream.AsSpan(HeaderLength + 2));
        Assert.Equal([PowerUp, new('C', 0, Rooms, 0), new('S', 0, 0, 0)], Messages([.. Stream[..HeaderLength], .. Stop]));
        Assert.Equal([PowerUp, new('C', 0, Rooms, 0), new('C', 0, Rooms + 1, 1), new('S', 0, 0, 1)], Messages([.. Stream[..firstBlock], .. Stop]));
        Assert.Equal([PowerUp, new('C', 0, Rooms, 0), new('C', 0, Rooms + 1, 1), new('F', 3, 0, 1)], Messages([.. Stream[..(firstBlock + 30)], .. Stop]));
    }

    [Fact]
    public void A_stop_within_a_header_is_fault_1() =>
        Assert.Equal([PowerUp, new('F', 1, 0, 0)], Messages([.. Stream[..40], .. Stop]));

    [Theory]
    [InlineData(9)]
    [InlineData(30)]
    public void A_damaged_header_after_an_exposure_tells_no_progress(int damaged)
    {
        byte[] header = Stream[..HeaderLength];
        header[damaged] ^= 4;
        Assert.Equal(new Said('F', 1, 0, 0), Messages([.. Stream, .. header])[^1]);
    }

    [Fact]
    public void A_header_within_a_stream_is_a_bad_block() =>
        Assert.Equal([PowerUp, new('C', 0, Rooms, 0), new('F', 3, 0, 0)], Messages([.. Stream[..HeaderLength], .. Stream[..HeaderLength]]));

    [Fact]
    public void The_end_of_the_link_within_a_stream_is_fault_6() =>
        Assert.Equal([PowerUp, new('C', 0, Rooms, 0), new('F', 6, 0, 0)], Messages(Stream[..(HeaderLength + 5)]));

    private static uint CountBlocks()
    {
        uint count = 0;
        for (int at = HeaderLength; at < Stream.Length; at += 14 + BinaryPrimitives.ReadUInt16LittleEndian(Stream.AsSpan(at + 2)))
        {
            count++;
        }

        return count;
    }

    // Repetitions of a message say nothing new.
    private Said[] Messages(byte[] bytes)
    {
        (_, byte[] messages, string[] actions) = receiver.Receive(bytes, 12, 1, BlanksLow);
        Assert.Equal("beam off", actions[^1]);
        var said = new List<Said>();
        foreach (byte[] message in messages.Chunk(MessageLength))
        {
            Assert.Equal(0xA5, message[0]);
            Assert.Equal(0, message[3]);
            var next = new Said(
                (char)message[1], message[2], BinaryPrimitives.ReadUInt32LittleEndian(message.AsSpan(4)), BinaryPrimitives.ReadUInt32LittleEndian(message.AsSpan(8)));
            if (said.Count == 0 || said[^1] != next)
            {
                said.Add(next);
            }
        }

        return [.. said];
    }

    private readonly record struct Said(char Kind, int Fault, uint Credit, uint Blocks);
}
