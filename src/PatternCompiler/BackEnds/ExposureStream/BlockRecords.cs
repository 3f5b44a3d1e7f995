using System.Buffers.Binary;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.ExposureStream;

/// <summary>Takes the records out of a verified payload. Faults are answers, not exceptions.</summary>
internal ref struct BlockRecords
{
    private readonly ReadOnlySpan<byte> payload;
    private readonly ExposureStreamOptions options;
    private readonly int codeCount;
    private readonly int codingMask;
    private int next;

    public BlockRecords(ReadOnlySpan<byte> payload, ExposureStreamOptions options, Dac dac)
    {
        this.payload = payload;
        this.options = options;
        codeCount = dac.CodeCount;
        codingMask = dac.CodingMask;
    }

    /// <summary>Where the record read last started in the payload.</summary>
    public int RecordStart { get; private set; }

    /// <summary>True if nothing is left.</summary>
    public readonly bool IsAtEnd => next == payload.Length;

    /// <summary>Reads a record; null, or what is wrong with it.</summary>
    public string? TryRead(out DeflectionRecord record)
    {
        record = default;
        RecordStart = next;
        int left = (payload.Length - next) / options.WordBytes;
        if (left == 0)
        {
            return "a record does not fit its block";
        }

        uint kind = Word();
        int words = kind switch
        {
            StreamFormat.JumpWord or StreamFormat.DotWord => StreamFormat.PointWords,
            StreamFormat.WaitWord or StreamFormat.MarkerWord => StreamFormat.ValueWords,
            StreamFormat.TriggerWord when options.WaitsForTrigger => StreamFormat.ValueWords,
            StreamFormat.LineWord when options.Profile == StreamProfile.Lines => StreamFormat.LineWords,
            _ => 0,
        };
        if (words == 0)
        {
            return kind switch
            {
                StreamFormat.LineWord => "a line stands in a stream without lines",
                StreamFormat.TriggerWord => "a trigger stands in a stream without triggers",
                _ => $"there is no kind of record {kind}",
            };
        }

        if (left < words)
        {
            return "a record does not fit its block";
        }

        return kind switch
        {
            StreamFormat.WaitWord => Value(DeflectionRecord.Wait, ref record),
            StreamFormat.MarkerWord => Value(DeflectionRecord.Marker, ref record),
            StreamFormat.TriggerWord => Trigger(ref record),
            StreamFormat.LineWord => Line(ref record),
            _ => Point(kind, ref record),
        };
    }

    private string? Point(uint kind, ref DeflectionRecord record)
    {
        if (!TryCode(out int x) || !TryCode(out int y))
        {
            return "a code has more bits than the converter";
        }

        if (!TryPair(out uint ticks))
        {
            return "a field of two words exceeds 32 bits";
        }

        record = kind == StreamFormat.JumpWord ? DeflectionRecord.Jump(x, y, ticks) : DeflectionRecord.Dot(x, y, ticks);
        return null;
    }

    private string? Line(ref DeflectionRecord record)
    {
        if (!TryCode(out int x) || !TryCode(out int y) || !TryCode(out int endX) || !TryCode(out int endY))
        {
            return "a code has more bits than the converter";
        }

        if (!TryPair(out uint points) || !TryPair(out uint each) || !TryPair(out uint more))
        {
            return "a field of two words exceeds 32 bits";
        }

        if (points is 0 or > int.MaxValue || more >= points)
        {
            return $"a line of {points} points gives {more} of them one tick more";
        }

        if (each == uint.MaxValue && more > 0)
        {
            return "a point of a line lasts longer than 32 bits can say";
        }

        record = DeflectionRecord.Line(x, y, endX, endY, (int)points, (long)each * points + more);
        return null;
    }

    private string? Trigger(ref DeflectionRecord record) =>
        Value(DeflectionRecord.Trigger, ref record) is string fault ? fault : record.Ticks == 0 ? "a trigger is waited for 0 ticks" : null;

    private string? Value(Func<long, DeflectionRecord> make, ref DeflectionRecord record)
    {
        if (!TryPair(out uint value))
        {
            return "a field of two words exceeds 32 bits";
        }

        record = make(value);
        return null;
    }

    private bool TryCode(out int code)
    {
        uint word = Word();
        code = (int)word ^ codingMask;
        return word < (uint)codeCount;
    }

    private bool TryPair(out uint value)
    {
        ulong low = Word();
        ulong both = low | ((ulong)Word() << (8 * options.WordBytes));
        value = (uint)both;
        return both <= uint.MaxValue;
    }

    private uint Word()
    {
        ReadOnlySpan<byte> bytes = payload.Slice(next, options.WordBytes);
        next += options.WordBytes;
        return options.WordBytes switch
        {
            2 => BinaryPrimitives.ReadUInt16LittleEndian(bytes),
            3 => (uint)(bytes[0] | (bytes[1] << 8) | (bytes[2] << 16)),
            _ => BinaryPrimitives.ReadUInt32LittleEndian(bytes),
        };
    }
}
