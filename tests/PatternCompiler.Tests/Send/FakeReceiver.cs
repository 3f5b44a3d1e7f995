using System.Buffers.Binary;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Model.Records;
using PatternCompiler.Send;

namespace PatternCompiler.Tests.Send;

/// <summary>
/// A receiver without a link, in a time of its own that passes only while the sender waits. Behaves as the stream's page says
/// until a test changes what it answers.
/// </summary>
internal sealed class FakeReceiver : Stream, IReceiverMessages
{
    private const int Window = 4;
    private const int StopLength = 1024;
    private static readonly TimeSpan RepeatTime = TimeSpan.FromMilliseconds(250);

    private readonly FakeTime time = new();
    private readonly Queue<LinkMessage> answers = new();
    private readonly Queue<DeflectionRecord[]?> store = new();
    private RecordsHeader? header;
    private ExposureStreamOptions? options;
    private bool inStream;
    private uint expected;
    private uint blocks;

    /// <summary>What happens to what arrives, by its kind ('H' header, 'R' and 'E' blocks, 'S' stop) and its turn of that kind; false: nothing more.</summary>
    public Func<char, int, bool>? Arrives { get; set; }

    /// <summary>What becomes of a message on its way to the sender; null: it is lost.</summary>
    public Func<LinkMessage, LinkMessage?>? Says { get; set; }

    /// <summary>Called each time that the sender looks for a message.</summary>
    public Action? Looked { get; set; }

    /// <summary>Blocks are written only while the sender waits; else at once.</summary>
    public bool IsSlow { get; set; }

    /// <summary>It repeats its last message while nothing happens.</summary>
    public bool Repeats { get; set; } = true;

    /// <summary>Everything written completely, jumps and waits included.</summary>
    public List<DeflectionRecord> Written { get; } = [];

    /// <summary>Exposing records that have a part of their dose.</summary>
    public List<DeflectionRecord> Cut { get; } = [];

    /// <summary>How many units of each kind have arrived.</summary>
    public Dictionary<char, int> Arrived { get; } = new() { ['H'] = 0, ['R'] = 0, ['E'] = 0, ['S'] = 0 };

    /// <summary>Records of all blocks that were sent to it, the lost ones included.</summary>
    public long RecordsArrived { get; private set; }

    /// <summary>More blocks than credited have come at some time.</summary>
    public bool WasOverrun { get; private set; }

    public bool InStream => inStream;

    public TimeProvider Time => time;

    public TimeSpan Elapsed => time.Elapsed;

    public LinkMessage Last { get; set; } = new('I', 0, false, 0, 0, 0);

    public bool IsGone { get; set; }

    public override bool CanRead => false;

    public override bool CanSeek => false;

    public override bool CanWrite => true;

    public override long Length => throw new NotSupportedException();

    public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

    public bool TryTake(out LinkMessage message, TimeSpan timeout, CancellationToken cancellation)
    {
        Looked?.Invoke();
        cancellation.ThrowIfCancellationRequested();
        if (answers.Count == 0 && timeout > TimeSpan.Zero && !IsGone)
        {
            WriteNext();
        }

        if (answers.Count == 0 && Repeats && !IsGone && timeout >= RepeatTime)
        {
            time.Elapsed += RepeatTime;
            Say(Last);
        }

        if (answers.TryDequeue(out message))
        {
            return true;
        }

        time.Elapsed += IsGone ? TimeSpan.Zero : timeout;
        return false;
    }

    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        char kind = buffer.Length == StopLength ? 'S' : buffer[0] == StreamFormat.Magic[0] ? 'H' : (char)buffer[0];
        int turn = Arrived[kind]++;
        RecordsArrived += kind == 'R' ? buffer[1] : 0;
        if (Arrives?.Invoke(kind, turn) == false)
        {
            return;
        }

        switch (kind)
        {
            case 'H':
                TakeHeader(buffer);
                break;
            case 'S':
                if (inStream)
                {
                    Leave('S', 0, 0);
                }

                break;
            default:
                TakeBlock(buffer);
                break;
        }
    }

    /// <summary>Puts a message on its way that the receiver does not repeat.</summary>
    public void Say(LinkMessage message)
    {
        if ((Says is null ? message : Says(message)) is LinkMessage said)
        {
            answers.Enqueue(said);
        }
    }

    /// <summary>Ends the stream, some records into the next block, perhaps within a record.</summary>
    public void Leave(char kind, int fault, int recordsOfNext, bool isCut = false)
    {
        DeflectionRecord[] next = inStream && store.TryPeek(out DeflectionRecord[]? block) && block is not null ? block : [];
        int whole = Math.Min(recordsOfNext, next.Length);
        Written.AddRange(next[..whole]);
        isCut &= whole < next.Length;
        if (isCut && next[whole].Points > 0)
        {
            Cut.Add(next[whole]);
        }

        store.Clear();
        inStream = false;
        Last = new LinkMessage(kind, fault, isCut, 0, blocks, whole);
        Say(Last);
    }

    /// <summary>Loses its memory, and perhaps writes some of what it has before.</summary>
    public void Reset(int blocksBefore)
    {
        for (int i = 0; i < blocksBefore && store.TryDequeue(out DeflectionRecord[]? block) && block is not null; i++)
        {
            Written.AddRange(block);
        }

        store.Clear();
        inStream = false;
        blocks = 0;
        Last = new LinkMessage('I', 0, false, 0, 0, 0);
        Say(Last);
    }

    public override void Flush()
    {
    }

    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    private void TakeHeader(ReadOnlySpan<byte> bytes)
    {
        if (inStream)
        {
            Leave('F', 3, 0);
            return;
        }

        Assert.Null(StreamHeader.TryDecode(bytes, out RecordsHeader decoded, out ExposureStreamOptions found));
        (header, options) = (decoded, found);
        inStream = true;
        expected = blocks = 0;
        Credit();
    }

    private void TakeBlock(ReadOnlySpan<byte> bytes)
    {
        if (!inStream)
        {
            return;
        }

        uint number = BinaryPrimitives.ReadUInt32LittleEndian(bytes[6..]);
        if (number != expected)
        {
            Leave('F', 4, 0);
            return;
        }

        WasOverrun |= number >= blocks + Window;
        expected++;
        store.Enqueue(bytes[0] == (byte)'E' ? null : Records(bytes));
        if (!IsSlow)
        {
            WriteNext();
        }
    }

    private DeflectionRecord[] Records(ReadOnlySpan<byte> block)
    {
        var records = new BlockRecords(block[StreamFormat.BlockHeader..^StreamFormat.CrcBytes], options!, header!.Dac);
        var found = new List<DeflectionRecord>();
        while (!records.IsAtEnd)
        {
            Assert.Null(records.TryRead(out DeflectionRecord record));
            found.Add(record);
        }

        return [.. found];
    }

    private void WriteNext()
    {
        if (!inStream || !store.TryDequeue(out DeflectionRecord[]? block))
        {
            return;
        }

        blocks++;
        if (block is null)
        {
            Leave('D', 0, 0);
            return;
        }

        Written.AddRange(block);
        time.Elapsed += TimeSpan.FromSeconds(default(RecordTotals).Plus(block).Ticks / header!.ClockHertz);
        Credit();
    }

    private void Credit()
    {
        Last = new LinkMessage('C', 0, false, blocks + Window, blocks, 0);
        Say(Last);
    }

    private sealed class FakeTime : TimeProvider
    {
        public TimeSpan Elapsed { get; set; }

        public override long TimestampFrequency => TimeSpan.TicksPerSecond;

        public override long GetTimestamp() => Elapsed.Ticks;
    }
}
