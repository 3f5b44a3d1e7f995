using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Model.Records;

/// <summary>Reads the binary form of records.</summary>
internal sealed class RecordsBinaryReader
{
    private readonly FrameInput input;
    private int lastCode;
    private int lastX;
    private int lastY;

    private RecordsBinaryReader(FrameInput input)
    {
        this.input = input;
    }

    public static void Read(
        CarrierInput carrier,
        string name,
        IDocumentSink<RecordsHeader, DeflectionRecord> sink,
        DiagnosticSink diagnostics,
        CancellationToken cancellation) =>
        new RecordsBinaryReader(new FrameInput(carrier, name)).Read(name, sink, diagnostics, cancellation);

    private void Read(
        string name,
        IDocumentSink<RecordsHeader, DeflectionRecord> sink,
        DiagnosticSink diagnostics,
        CancellationToken cancellation)
    {
        RecordsHeader header = ReadHeader();
        lastCode = header.Dac.CodeCount - 1;
        sink.Begin(header);
        var batch = new SinkBatch<RecordsHeader, DeflectionRecord>(sink, cancellation);
        var watch = new DwellWatch(header);
        while (input.TryNextFrame())
        {
            while (input.HasMore)
            {
                DeflectionRecord record = ReadRecord();
                watch.See(record);
                batch.Add(record);
            }
        }

        BinaryDocument.CheckTotal(input, "records", batch.Count);
        batch.End();
        watch.Report(name, diagnostics);
    }

    private RecordsHeader ReadHeader()
    {
        input.Magic();
        if (!input.TryNextFrame())
        {
            input.Corrupt("the document has no header");
        }

        string machine = input.Name();
        input.ContinueHeader();
        int bits = input.Byte();
        var coding = (DacCoding)input.Checked("the coding", input.Byte(), 0, (int)DacCoding.TwosComplement);
        var fullScale = (DacFullScale)input.Checked("the full scale", input.Byte(), 0, (int)DacFullScale.LastCode);
        bool swapped = input.Checked("the order of the axes", input.Byte(), 0, 1) == 1;
        double low = input.Real();
        double high = input.Real();
        double clock = input.Real();
        double stepX = input.Real();
        double stepY = input.Real();
        long shortest = (long)input.Unsigned();
        long longest = (long)input.Unsigned();
        var header = new RecordsHeader(
            machine, new Dac(bits, low, high, coding, fullScale), clock, shortest, longest, stepX, stepY, swapped);
        if (input.HasMore)
        {
            header = header with
            {
                BlankLevel = (BlankLevel)input.Checked("the level of the blank line", input.Byte(), 0, (int)BlankLevel.NoBlanker),
                MadeFor = new MadeFor(new SettingsDigest(input.Wide()), new SettingsDigest(input.Wide())),
            };
        }

        if (input.HasMore)
        {
            header = header with { WaitsForTrigger = input.Checked("whether records wait for a trigger", input.Byte(), 0, 1) == 1 };
        }

        if (RecordsHeaderRules.FaultOf(header) is string fault)
        {
            throw new CompileException(DocumentCodes.OutOfRange, $"in the header, {fault}", input.CurrentPlace);
        }

        return header;
    }

    private DeflectionRecord ReadRecord()
    {
        var kind = (RecordKind)input.Byte();
        switch (kind)
        {
            case RecordKind.Jump:
                Point();
                return DeflectionRecord.Jump(lastX, lastY, Ticks());
            case RecordKind.Dot:
                Point();
                return DeflectionRecord.Dot(lastX, lastY, Ticks());
            case RecordKind.Line:
            {
                Point();
                (int x, int y) = (lastX, lastY);
                Point();
                int points = (int)input.Checked("the number of points", (long)input.Unsigned(), 1, int.MaxValue);
                return DeflectionRecord.Line(x, y, lastX, lastY, points, Ticks());
            }

            case RecordKind.Wait:
                return DeflectionRecord.Wait(Ticks());
            case RecordKind.Marker:
                return DeflectionRecord.Marker(Ticks());
            case RecordKind.Trigger:
                return DeflectionRecord.Trigger(input.Checked("the longest wait in ticks", (long)input.Unsigned(), 1, long.MaxValue));
            default:
                input.Corrupt($"there is no kind of record {(byte)kind}");
                return default;
        }
    }

    private void Point()
    {
        lastX = (int)input.Checked("x", unchecked(lastX + input.Signed()), 0, lastCode);
        lastY = (int)input.Checked("y", unchecked(lastY + input.Signed()), 0, lastCode);
    }

    private long Ticks() => input.Checked("the number of ticks", (long)input.Unsigned(), 0, long.MaxValue);
}
