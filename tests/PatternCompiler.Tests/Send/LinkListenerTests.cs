using System.Buffers.Binary;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Send;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.Send;

/// <summary>Messages among whatever bytes a link delivers, in whatever pieces.</summary>
public sealed class LinkListenerTests
{
    private static readonly LinkMessage[] Messages =
    [
        new('I', 0, false, 0, 0, 0),
        new('C', 0, false, 0xA5A5A5A5, 0xFFFFFFFF, 0xA5),
        new('F', 8, true, 7, 5, 65535),
        new('D', 0, false, 0, 9, 0),
    ];

    [Fact]
    public void Fields_stand_where_the_page_says()
    {
        byte[] bytes = [0xA5, (byte)'F', 3, 1, 4, 3, 2, 1, 8, 7, 6, 5, 10, 9, 0, 0, .. new byte[4]];
        BinaryPrimitives.WriteUInt32LittleEndian(bytes.AsSpan(16), Crc32C.Of(bytes.AsSpan(0, 16)));
        Assert.Equal([new('F', 3, true, 0x01020304, 0x05060708, 0x090A)], Heard(bytes, 1));
    }

    /// <summary>A read that never ends must not keep the program from ending.</summary>
    [Fact]
    public async Task It_listens_in_the_background()
    {
        var source = new ThreadWatch();
        using var listener = new LinkListener(source);
        Assert.Equal((true, "link listener"), await source.Seen.Task.WaitAsync(TimeSpan.FromSeconds(30)));
    }

    private sealed class ThreadWatch : MemoryStream
    {
        public TaskCompletionSource<(bool, string?)> Seen { get; } = new();

        public override int Read(byte[] buffer, int offset, int count)
        {
            Seen.TrySetResult((Thread.CurrentThread.IsBackground, Thread.CurrentThread.Name));
            return 0;
        }
    }

    [Theory]
    [InlineData(1)]
    [InlineData(7)]
    [InlineData(100)]
    public void Messages_are_found_between_other_bytes(int piece)
    {
        byte[] noise = [0xA5, 0, 0xA5, 0xA5, 1, 2, 3, (byte)'C'];
        Assert.Equal(Messages, Heard([.. noise, .. Messages.SelectMany(m => Bytes(m).Concat(noise))], piece));
    }

    [Fact]
    public void A_message_with_any_bit_damaged_is_none_and_the_next_one_is_heard()
    {
        for (int bit = 0; bit < 8 * LinkMessage.Length; bit++)
        {
            byte[] damaged = Bytes(Messages[2]);
            damaged[bit / 8] ^= (byte)(1 << (bit % 8));
            Assert.Equal([Messages[3]], Heard([.. damaged, .. Bytes(Messages[3])], 6));
        }
    }

    [Fact]
    public void A_message_that_lost_a_byte_costs_no_other()
    {
        for (int lost = 0; lost < LinkMessage.Length; lost++)
        {
            byte[] whole = Bytes(Messages[1]);
            Assert.Equal([Messages[3]], Heard([.. whole[..lost], .. whole[(lost + 1)..], .. Bytes(Messages[3])], 9));
        }
    }

    [Fact]
    public void A_kind_that_nobody_knows_is_skipped() =>
        Assert.Equal([Messages[0]], Heard([.. Bytes(new LinkMessage('X', 0, false, 0, 0, 0)), .. Bytes(Messages[0])], 5));

    private static byte[] Bytes(LinkMessage message)
    {
        byte[] bytes = new byte[LinkMessage.Length];
        bytes[0] = 0xA5;
        bytes[1] = (byte)message.Kind;
        bytes[2] = (byte)message.Fault;
        bytes[3] = message.WasCut ? (byte)1 : (byte)0;
        BinaryPrimitives.WriteUInt32LittleEndian(bytes.AsSpan(4), message.Credit);
        BinaryPrimitives.WriteUInt32LittleEndian(bytes.AsSpan(8), message.BlocksWritten);
        BinaryPrimitives.WriteUInt16LittleEndian(bytes.AsSpan(12), (ushort)message.RecordsWritten);
        BinaryPrimitives.WriteUInt32LittleEndian(bytes.AsSpan(16), Crc32C.Of(bytes.AsSpan(0, 16)));
        return bytes;
    }

    private static List<LinkMessage> Heard(byte[] bytes, int piece)
    {
        using var source = new PiecewiseStream(bytes, piece);
        using var listener = new LinkListener(source);
        var heard = new List<LinkMessage>();
        while (listener.TryTake(out LinkMessage message, TimeSpan.FromSeconds(30), CancellationToken.None))
        {
            heard.Add(message);
        }

        Assert.True(listener.IsGone);
        return heard;
    }
}
