using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Send;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.Send;

/// <summary>Links that fail or hang where bytes are handed over, and streams from a pipe that only look sound.</summary>
public sealed class BrokenLinkTests
{
    private const string BeamOff = "the receiver confirms that the beam is off";

    // Three blocks of the exposure have 127 records, the fourth has 42.
    private const string InDoubt =
        "records 1 to 127 are written; of records 128 to 169 (figures 31 to 42) nothing is known: they may be written, in part or not at all; the receiver does not confirm that the beam is off; "
        + "make sure that the beam is off, check the cable and the receiver; no command goes on safely: look at the sample, and send from the first record that is missing there";

    /// <summary>A cable that is pulled shows as a failed write. Nothing more is tried on it, not even a stop.</summary>
    [Fact]
    public void A_write_that_fails_is_the_end_of_the_link()
    {
        var receiver = new FakeReceiver();
        receiver.Arrives = (kind, turn) => kind == 'R' && turn >= 3 ? throw new IOException("pulled") : true;
        Assert.Equal($"chip: error PC2020: the link is gone; {InDoubt}", Sending.Error(receiver));
        Assert.Equal((1, 4, 1), (receiver.Arrived['H'], receiver.Arrived['R'], receiver.Arrived['S']));
    }

    /// <summary>A hung link costs the time that it is given and no more, even where the user wants to stop meanwhile.</summary>
    [Theory]
    [InlineData(false, "the link takes no more bytes")]
    [InlineData(true, "the receiver does not confirm the stop")]
    public void A_write_that_does_not_return_is_given_up(bool isStopped, string told)
    {
        using var stop = new CancellationTokenSource();
        using var hung = new ManualResetEventSlim();
        var receiver = new FakeReceiver();
        receiver.Arrives = (kind, turn) =>
        {
            if (kind == 'R' && turn == 3)
            {
                if (isStopped)
                {
                    stop.Cancel();
                }

                hung.Wait();
            }

            return true;
        };
        string error = Sending.Error(receiver, Sending.Usual with { Timeout = TimeSpan.FromMilliseconds(100) }, cancellation: stop.Token);
        hung.Set();
        Assert.Equal($"chip: error PC2020: {told}; {InDoubt}", error);
        Assert.Equal(1, receiver.Arrived['H']);
    }

    [Fact]
    public void A_read_that_fails_is_the_end_of_the_messages()
    {
        using var listener = new LinkListener(new FailingStream());
        Assert.False(listener.TryTake(out _, TimeSpan.FromSeconds(30), CancellationToken.None));
        Assert.True(listener.IsGone);
    }

    /// <summary>The right checksum around a content that no writer makes.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_stream_from_a_pipe_that_makes_no_sense_is_not_passed_on(bool isHeader)
    {
        byte[] stream = [.. Sending.Stream];
        int header = stream[8] | stream[9] << 8;
        (int start, int end, int offset) = isHeader ? (0, header, StreamFormat.HeaderWordBytesOffset) : (header, header + StreamFormat.BlockHeader + (stream[header + 2] | stream[header + 3] << 8) + StreamFormat.CrcBytes, StreamFormat.BlockHeader);
        stream[start + offset] = 0xEE;
        BitConverter.TryWriteBytes(stream.AsSpan(end - StreamFormat.CrcBytes), Crc32C.Of(stream.AsSpan(start, end - start - StreamFormat.CrcBytes)));
        var receiver = new FakeReceiver();
        string error = Sending.Error(receiver, source: new PiecewiseStream(stream, 1000));
        Assert.Contains("; emit the stream again", error, StringComparison.Ordinal);
        Assert.Contains($"; {BeamOff}", error, StringComparison.Ordinal);
        Assert.Equal(0, receiver.Arrived['R']);
    }

    /// <summary>A block of a kind that the form does not know, with a checksum that is right: it is never passed on.</summary>
    [Fact]
    public void A_block_of_an_unknown_kind_is_not_sent()
    {
        byte[] stream = [.. Sending.Stream];
        int start = stream[8] | stream[9] << 8;
        int end = start + StreamFormat.BlockHeader + (stream[start + 2] | stream[start + 3] << 8) + StreamFormat.CrcBytes;
        stream[start] = (byte)'S';
        BitConverter.TryWriteBytes(stream.AsSpan(end - StreamFormat.CrcBytes), Crc32C.Of(stream.AsSpan(start, end - start - StreamFormat.CrcBytes)));
        var receiver = new FakeReceiver();
        Assert.Contains("what is to be sent is no valid exposure stream", Sending.Error(receiver, source: new PiecewiseStream(stream, 1000)), StringComparison.Ordinal);
        Assert.Equal(0, receiver.Arrived['R']);
    }

    /// <summary>What waits for a slow pipe hears the receiver meanwhile.</summary>
    [Fact]
    public void A_slow_pipe_does_not_hold_up_what_is_written()
    {
        var receiver = new FakeReceiver { IsSlow = true };
        int looked = 0;
        receiver.Looked = () => looked++;
        int before = -1;
        using var source = new SlowStream(Sending.Stream) { Waits = () => before = looked, Goes = () => before = looked - before };
        Assert.Equal(Sending.Total, Sending.Run(receiver, source: source).RecordsWritten);
        Assert.True(before > 0);
    }

    [Fact]
    public void A_feed_takes_bytes_and_gives_none()
    {
        using var feed = new BlockFeed(null!);
        Assert.Equal((false, false, true), (feed.CanRead, feed.CanSeek, feed.CanWrite));
        feed.Flush();
        Action[] others = [() => _ = feed.Length, () => _ = feed.Position, () => feed.Position = 0, () => _ = feed.ReadByte(), () => feed.Seek(0, SeekOrigin.Begin), () => feed.SetLength(0)];
        Assert.All(others, other => Assert.Throws<NotSupportedException>(other));
    }

    // Waits before its second piece.
    private sealed class SlowStream(byte[] bytes) : MemoryStream(bytes)
    {
        private int reads;

        public required Action Waits { get; init; }

        public required Action Goes { get; init; }

        public override bool CanSeek => false;

        public override int Read(Span<byte> buffer)
        {
            if (++reads == 2)
            {
                Waits();
                Thread.Sleep(400);
                Goes();
            }

            return base.Read(buffer[..Math.Min(buffer.Length, 1000)]);
        }
    }

    private sealed class FailingStream : MemoryStream
    {
        public override int Read(byte[] buffer, int offset, int count) => throw new IOException("pulled");
    }
}
