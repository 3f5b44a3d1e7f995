using System.Buffers.Binary;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;
using PatternCompiler.Units;

namespace PatternCompiler.BackEnds.ExposureStream;

/// <summary>
/// Reads the framed stream back into records, as strictly as a receiver has to: a block is verified as a whole before
/// any of its records is passed on, and nothing is passed on after a fault.
/// </summary>
internal sealed class ExposureStreamReader
{
    private readonly CarrierInput input;
    private readonly string name;
    private readonly byte[] block = new byte[StreamFormat.BlockHeader + StreamFormat.LargestPayload + StreamFormat.CrcBytes];
    private RecordsHeader header = null!;
    private ExposureStreamOptions options = null!;
    private long blockStart;
    private uint sequence;
    private RecordTotals totals;

    private ExposureStreamReader(CarrierInput input, string name)
    {
        this.input = input;
        this.name = name;
    }

    /// <summary>True if these are the first bytes (8 or more) of a stream, of whatever version.</summary>
    public static bool Recognises(ReadOnlySpan<byte> firstBytes) => DocumentKinds.IsBinary(firstBytes, StreamFormat.Magic);

    /// <summary>Reads the whole stream into a sink. The sink gets no end if the stream is damaged.</summary>
    /// <param name="source">Where it comes from; read to its end, not closed.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="sink">Takes the records.</param>
    /// <param name="diagnostics">Takes warnings.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <returns>How the stream was laid out.</returns>
    /// <exception cref="CompileException">The input is no stream, or is damaged.</exception>
    public static ExposureStreamOptions Read(
        Stream source,
        string name,
        IDocumentSink<RecordsHeader, DeflectionRecord> sink,
        DiagnosticSink diagnostics,
        CancellationToken cancellation) =>
        new ExposureStreamReader(new CarrierInput(source), name).Read(sink, diagnostics, cancellation);

    private ExposureStreamOptions Read(
        IDocumentSink<RecordsHeader, DeflectionRecord> sink, DiagnosticSink diagnostics, CancellationToken cancellation)
    {
        ReadHeader();
        sink.Begin(header);
        var batch = new SinkBatch<RecordsHeader, DeflectionRecord>(sink, cancellation);
        var watch = new DwellWatch(header);
        while (ReadBlock(batch, watch))
        {
        }

        Span<byte> one = stackalloc byte[1];
        long end = input.Position;
        if (input.Read(one) != 0)
        {
            throw new CompileException(BackEndCodes.AfterEnd, "more bytes follow the end of the stream", At(end), "give one stream at a time");
        }

        batch.End();
        watch.Report(name, diagnostics);
        return options;
    }

    private void ReadHeader()
    {
        ReadOnlySpan<byte> first = input.Peek();
        if (!Recognises(first))
        {
            throw DocumentKinds.NotRecognised(BackEndCodes.NotThisForm, first, name, "an exposure stream", "patternc emit");
        }

        byte major = first.Length == CarrierMagic.Length ? first[CarrierMagic.KindLength] : StreamFormat.MajorVersion;
        if (major != StreamFormat.MajorVersion)
        {
            throw new CompileException(
                BackEndCodes.UnsupportedVersion,
                $"this is version {major} of the stream, known is version {StreamFormat.MajorVersion}",
                new SourcePlace(name),
                "emit it again with this version of the program, or update the program");
        }

        byte[] bytes = new byte[StreamFormat.LongestHeader];
        ReadAll(bytes.AsSpan(0, StreamFormat.HeaderPrefix), inHeader: true);
        if (!StreamHeader.TryReadLength(bytes.AsSpan(StreamFormat.HeaderLengthOffset), out int length) ||
            length is < StreamFormat.ShortestHeader or > StreamFormat.LongestHeader)
        {
            throw BadHeader("the header's length is damaged");
        }

        ReadAll(bytes.AsSpan(StreamFormat.HeaderPrefix, length - StreamFormat.HeaderPrefix), inHeader: true);
        if (StreamHeader.TryDecode(bytes.AsSpan(0, length), out header, out options) is string fault)
        {
            throw BadHeader(fault);
        }
    }

    private bool ReadBlock(SinkBatch<RecordsHeader, DeflectionRecord> batch, DwellWatch watch)
    {
        blockStart = input.Position;
        ReadAll(block.AsSpan(0, StreamFormat.BlockHeader), inHeader: false);
        byte type = block[0];
        if (type is not (StreamFormat.RecordsBlock or StreamFormat.EndBlock))
        {
            throw BadBlock($"block {sequence} starts with the byte {type:X2}, which is no type of block");
        }

        if (!StreamHeader.TryReadLength(block.AsSpan(2), out int length) || length is 0 or > StreamFormat.LargestPayload)
        {
            throw BadBlock($"the length of block {sequence} is damaged");
        }

        ReadAll(block.AsSpan(StreamFormat.BlockHeader, length + StreamFormat.CrcBytes), inHeader: false);
        Span<byte> covered = block.AsSpan(0, StreamFormat.BlockHeader + length);
        if (Crc32C.Of(covered) != BinaryPrimitives.ReadUInt32LittleEndian(block.AsSpan(covered.Length)))
        {
            throw BadBlock($"the checksum of block {sequence} does not match");
        }

        uint number = BinaryPrimitives.ReadUInt32LittleEndian(block.AsSpan(6));
        if (number != sequence)
        {
            throw new CompileException(
                BackEndCodes.SequenceGap,
                $"block {number} comes where block {sequence} belongs",
                At(blockStart),
                "emit the stream again; blocks were lost or doubled on its way");
        }

        sequence++;
        ReadOnlySpan<byte> payload = covered[StreamFormat.BlockHeader..];
        if (type == StreamFormat.EndBlock)
        {
            CheckEnd(payload);
            return false;
        }

        PassRecords(payload, batch, watch);
        return true;
    }

    private void PassRecords(ReadOnlySpan<byte> payload, SinkBatch<RecordsHeader, DeflectionRecord> batch, DwellWatch watch)
    {
        // First all of them are checked, then all of them are passed on.
        var check = new BlockRecords(payload, options, header.Dac);
        int count = 0;
        while (!check.IsAtEnd)
        {
            if (check.TryRead(out _) is string fault)
            {
                throw BadRecord(fault, blockStart + StreamFormat.BlockHeader + check.RecordStart);
            }

            count++;
        }

        if (count != block[1])
        {
            throw BadRecord($"block {sequence - 1} holds {count} records and states {block[1]}", blockStart);
        }

        var records = new BlockRecords(payload, options, header.Dac);
        while (!records.IsAtEnd)
        {
            records.TryRead(out DeflectionRecord record);
            totals = totals.Plus([record]);
            watch.See(record);
            batch.Add(record);
        }

        // What was verified is passed on even if the next block is damaged, as a receiver would write it.
        batch.Flush();
    }

    private void CheckEnd(ReadOnlySpan<byte> payload)
    {
        if (payload.Length != StreamFormat.EndPayload)
        {
            throw BadBlock($"the end block has {payload.Length} bytes, {StreamFormat.EndPayload} belong there");
        }

        if (block[1] != 0)
        {
            throw BadBlock($"the end block states {CountText.Of(block[1], "record", "records")}, none belong there");
        }

        var stated = new RecordTotals(
            BinaryPrimitives.ReadInt64LittleEndian(payload),
            BinaryPrimitives.ReadInt64LittleEndian(payload[sizeof(long)..]),
            BinaryPrimitives.ReadInt64LittleEndian(payload[(2 * sizeof(long))..]));
        if (stated != totals)
        {
            throw new CompileException(
                BackEndCodes.TotalsDiffer,
                $"the end states {stated.Records} records, {stated.Points} points and {stated.Ticks} ticks; " +
                $"read were {totals.Records}, {totals.Points} and {totals.Ticks}",
                At(blockStart),
                "emit the stream again");
        }
    }

    private void ReadAll(Span<byte> target, bool inHeader)
    {
        if (input.ReadFully(target) < target.Length)
        {
            throw new CompileException(
                BackEndCodes.Truncated,
                inHeader ? "the stream stops in its header" : $"the stream stops before its end, at block {sequence}",
                At(input.Position),
                "emit it again; the stage or copy that wrote it did not finish");
        }
    }

    private SourcePlace At(long position) => new(name, Entity: $"byte {position}");

    private CompileException BadHeader(string message) =>
        new(BackEndCodes.BadHeader, message, new SourcePlace(name), "emit the stream again; it was damaged on its way");

    private CompileException BadBlock(string message) =>
        new(BackEndCodes.BadBlock, message, At(blockStart), "emit the stream again; it was damaged on its way");

    private CompileException BadRecord(string message, long position) =>
        new(BackEndCodes.BadRecord, message, At(position), "emit the stream again; its writer is at fault");
}
