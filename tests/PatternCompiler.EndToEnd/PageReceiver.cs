using System.Buffers.Binary;
using PatternCompiler.Oracles.Receiver;

namespace PatternCompiler.EndToEnd;

/// <summary>
/// A receiver at the far end of a pseudo-terminal, written from the stream's page alone, that misbehaves in one way. It counts
/// records and looks at nothing within them.
/// </summary>
internal sealed class PageReceiver : IDisposable
{
    private const int MessageLength = 20;
    private const int Window = 4;
    private static readonly byte[] Magic = [0x9C, (byte)'P', (byte)'C', (byte)'X', 0x0D, 0x0A];

    private readonly Terminal terminal = new();
    private readonly ReceiverHabit habit;
    private readonly Task listening;
    private readonly Timer repeating;
    private readonly Lock gate = new();
    private readonly List<byte> heard = [];
    private byte[] last = [];
    private uint blocks;
    private int inProgress;
    private bool inStream;
    private bool wasReset;
    private volatile bool isOver;

    public PageReceiver(ReceiverHabit habit)
    {
        this.habit = habit;
        Say('I', 0, false, 0, 0);
        repeating = new Timer(
            _ =>
            {
                lock (gate)
                {
                    Put(last);
                }
            },
            null,
            200,
            200);
        listening = Task.Factory.StartNew(Listen, TaskCreationOptions.LongRunning);
    }

    /// <summary>Path to open like a serial port.</summary>
    public string Name => terminal.Name;

    /// <summary>Records of the blocks written.</summary>
    public int RecordsWritten { get; private set; }

    /// <summary>Headers accepted.</summary>
    public int Headers { get; private set; }

    public void Dispose()
    {
        isOver = true;
        repeating.Dispose();
        terminal.Wake();
        listening.Wait(TimeSpan.FromSeconds(10));
        terminal.Dispose();
    }

    private void Listen()
    {
        byte[] buffer = new byte[4096];
        try
        {
            while (terminal.Master.Read(buffer) is int count and > 0 && !isOver)
            {
                lock (gate)
                {
                    heard.AddRange(buffer[..count]);
                    while (inStream ? TakeBlock() : TakeHeader())
                    {
                    }
                }
            }
        }
        catch (Exception fault) when (fault is IOException or ObjectDisposedException)
        {
            // The sender has hung up.
        }
    }

    private bool TakeHeader()
    {
        int start = 0;
        while (start + Magic.Length <= heard.Count && !heard[start..(start + Magic.Length)].SequenceEqual(Magic))
        {
            start++;
        }

        heard.RemoveRange(0, start);
        if (heard.Count < 10 || heard.Count < Word(8))
        {
            return false;
        }

        heard.RemoveRange(0, Word(8));
        inStream = true;
        blocks = 0;
        Headers++;
        Say('C', 0, false, 0, 0);
        return true;
    }

    private bool TakeBlock()
    {
        if (heard.Count > 0 && heard[0] == 0)
        {
            Leave('S', 0, habit == ReceiverHabit.CutsOnStop, 1);
            return true;
        }

        if (heard.Count < 10 || heard.Count < 14 + Word(2))
        {
            return false;
        }

        (bool isEnd, int records) = (heard[0] == (byte)'E', heard[1]);
        heard.RemoveRange(0, 14 + Word(2));
        if (habit == ReceiverHabit.CutsOnInterlock && blocks == 2)
        {
            Leave('F', 8, true, 1);
            return true;
        }

        if (habit == ReceiverHabit.NoEdge && blocks == 2)
        {
            Leave('F', 9, true, 1);
            return true;
        }

        // A receiver that is to be stopped within a record is always one block behind.
        int done = records;
        if (habit == ReceiverHabit.CutsOnStop && !isEnd)
        {
            Thread.Sleep(200);
            (done, inProgress) = (inProgress, records);
            if (done == 0)
            {
                return true;
            }
        }

        blocks++;
        RecordsWritten += done;
        Tell(isEnd);
        return true;
    }

    private void Tell(bool isEnd)
    {
        switch (habit)
        {
            case ReceiverHabit.DoneEarly when blocks == 3:
                Leave('D', 0, false, 0);
                break;
            case ReceiverHabit.ClaimsMore when blocks == 3:
                Say('C', 0, false, 900, 0);
                break;
            case ReceiverHabit.TakesBack when blocks == 5:
                Say('C', 0, false, 3, 0);
                break;
            case ReceiverHabit.Resets when !wasReset && (blocks is 5 or 6):
                break;
            case ReceiverHabit.Resets when !wasReset && blocks == 7:
                wasReset = true;
                blocks = 0;
                Leave('I', 0, false, 0);
                break;
            default:
                if (isEnd)
                {
                    Leave('D', 0, false, 0);
                }
                else
                {
                    Say('C', 0, false, blocks, 0);
                }

                break;
        }
    }

    private void Leave(char kind, byte fault, bool isCut, ushort records)
    {
        inStream = false;
        heard.Clear();
        Say(kind, fault, isCut, blocks, records);
    }

    private void Say(char kind, byte fault, bool isCut, uint written, ushort records)
    {
        byte[] message = new byte[MessageLength];
        message[0] = 0xA5;
        message[1] = (byte)kind;
        message[2] = fault;
        message[3] = isCut ? (byte)1 : (byte)0;
        BinaryPrimitives.WriteUInt32LittleEndian(message.AsSpan(4), kind == 'C' ? written + Window : 0);
        BinaryPrimitives.WriteUInt32LittleEndian(message.AsSpan(8), written);
        BinaryPrimitives.WriteUInt16LittleEndian(message.AsSpan(12), records);
        BinaryPrimitives.WriteUInt32LittleEndian(message.AsSpan(16), Crc(message.AsSpan(0, 16)));
        last = message;
        Put(message);
    }

    private void Put(byte[] message)
    {
        try
        {
            terminal.Master.Write(message);
        }
        catch (Exception fault) when (fault is IOException or ObjectDisposedException)
        {
            // Nobody listens.
        }
    }

    private int Word(int offset) => heard[offset] | heard[offset + 1] << 8;

    private static uint Crc(ReadOnlySpan<byte> bytes)
    {
        uint crc = uint.MaxValue;
        foreach (byte value in bytes)
        {
            crc ^= value;
            for (int bit = 0; bit < 8; bit++)
            {
                crc = (crc & 1) != 0 ? crc >> 1 ^ 0x82F63B78 : crc >> 1;
            }
        }

        return ~crc;
    }
}
