using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Model.Records;

/// <summary>Reads the text form of records.</summary>
internal static class RecordsTextReader
{
    public static void Read(
        CarrierInput input,
        string name,
        IDocumentSink<RecordsHeader, DeflectionRecord> sink,
        DiagnosticSink diagnostics,
        CancellationToken cancellation)
    {
        var reader = new Utf8LineReader(input, name);
        TextDocument.ReadFirstLine(reader, RecordsText.Name);
        RecordsHeader header = ReadHeader(reader, out ReadOnlySpan<byte> line);
        sink.Begin(header);
        var batch = new SinkBatch<RecordsHeader, DeflectionRecord>(sink, cancellation);
        var watch = new DwellWatch(header);
        long points = 0;
        long ticks = 0;
        for (; ; line = TextDocument.ReadLine(reader, "a record or the end line"))
        {
            var cursor = new LineCursor(line, reader);
            ReadOnlySpan<byte> word = cursor.Field();
            if (word.SequenceEqual("end"u8))
            {
                TextDocument.ReadTotal(ref cursor, "records", batch.Count);
                TextDocument.ReadTotal(ref cursor, "points", points);
                TextDocument.ReadTotal(ref cursor, "ticks", ticks);
                cursor.End();
                TextDocument.CheckNothingFollows(reader);
                batch.End();
                watch.Report(name, diagnostics);
                return;
            }

            DeflectionRecord record = ReadRecord(word, ref cursor, header.Dac.CodeCount - 1);
            cursor.End();
            points += record.Points;
            ticks += record.TimedTicks;
            watch.See(record);
            batch.Add(record);
        }
    }

    /// <summary>Reads the header and the line behind it, since its last lines may be left out.</summary>
    private static RecordsHeader ReadHeader(Utf8LineReader reader, out ReadOnlySpan<byte> following)
    {
        LineCursor cursor = Key(reader, "machine"u8, "the machine line");
        string machine = cursor.Quoted("the machine's name");
        cursor.End();

        cursor = Key(reader, "bits"u8, "the bits line");
        int bits = (int)cursor.Integer("the number of bits", RecordsHeaderRules.FewestBits, RecordsHeaderRules.MostBits);
        cursor.End();

        cursor = Key(reader, "range"u8, "the range line");
        double low = cursor.Real("the lower voltage");
        double high = cursor.Real("the upper voltage");
        Unit(ref cursor, "V"u8);

        cursor = Key(reader, "coding"u8, "the coding line");
        var coding = (DacCoding)cursor.OneOf("a coding", RecordsText.Codings);
        cursor.End();

        cursor = Key(reader, "full-scale"u8, "the full-scale line");
        var fullScale = (DacFullScale)cursor.OneOf("the meaning of the upper voltage", RecordsText.FullScales);
        cursor.End();

        cursor = Key(reader, "clock"u8, "the clock line");
        double clock = cursor.Real("the clock rate");
        Unit(ref cursor, "Hz"u8);

        cursor = Key(reader, "dwell"u8, "the dwell line");
        long shortest = cursor.Integer("the shortest dwell", 0, long.MaxValue);
        long longest = cursor.Integer("the longest dwell", 0, long.MaxValue);
        Unit(ref cursor, "ticks"u8);

        cursor = Key(reader, "step"u8, "the step line");
        double stepX = cursor.Real("the step along x");
        double stepY = cursor.Real("the step along y");
        Unit(ref cursor, "nm"u8);

        cursor = Key(reader, "axes"u8, "the axes line");
        bool swapped = cursor.OneOf("the order of the axes", RecordsText.Axes) == 1;
        cursor.End();

        var header = new RecordsHeader(
            machine, new Dac(bits, low, high, coding, fullScale), clock, shortest, longest, stepX, stepY, swapped);
        if (RecordsHeaderRules.FaultOf(header) is string fault)
        {
            cursor.Fail(DocumentCodes.OutOfRange, $"in the header above, {fault}", "correct the header");
        }

        following = TextDocument.ReadLine(reader, "a record or the end line");
        var blank = new LineCursor(following, reader);
        if (blank.Field().SequenceEqual("blank"u8))
        {
            header = header with { BlankLevel = (BlankLevel)(1 + blank.OneOf("the level of the blank line", RecordsText.BlankLevels)) };
            blank.End();
            following = TextDocument.ReadLine(reader, "a record or the end line");
        }

        var madeFor = new LineCursor(following, reader);
        if (madeFor.Field().SequenceEqual("made-for"u8))
        {
            header = header with { MadeFor = new MadeFor(madeFor.Digest("the machine's settings"), madeFor.Digest("the dose settings")) };
            madeFor.End();
            following = TextDocument.ReadLine(reader, "a record or the end line");
        }

        var waits = new LineCursor(following, reader);
        if (waits.Field().SequenceEqual("waits-for"u8))
        {
            waits.Expect("trigger"u8);
            waits.End();
            header = header with { WaitsForTrigger = true };
            following = TextDocument.ReadLine(reader, "a record or the end line");
        }

        return header;
    }

    private static LineCursor Key(Utf8LineReader reader, ReadOnlySpan<byte> key, string wanted)
    {
        var cursor = new LineCursor(TextDocument.ReadLine(reader, wanted), reader);
        cursor.Expect(key);
        return cursor;
    }

    private static void Unit(ref LineCursor cursor, ReadOnlySpan<byte> unit)
    {
        cursor.Expect(unit);
        cursor.End();
    }

    private static DeflectionRecord ReadRecord(ReadOnlySpan<byte> word, ref LineCursor cursor, int lastCode)
    {
        if (word.SequenceEqual("dot"u8))
        {
            return DeflectionRecord.Dot(Code(ref cursor, "x", lastCode), Code(ref cursor, "y", lastCode), Ticks(ref cursor));
        }

        if (word.SequenceEqual("line"u8))
        {
            int x = Code(ref cursor, "x", lastCode);
            int y = Code(ref cursor, "y", lastCode);
            int endX = Code(ref cursor, "the end's x", lastCode);
            int endY = Code(ref cursor, "the end's y", lastCode);
            int points = (int)cursor.Integer("the number of points", 1, int.MaxValue);
            return DeflectionRecord.Line(x, y, endX, endY, points, Ticks(ref cursor));
        }

        if (word.SequenceEqual("jump"u8))
        {
            return DeflectionRecord.Jump(Code(ref cursor, "x", lastCode), Code(ref cursor, "y", lastCode), Ticks(ref cursor));
        }

        if (word.SequenceEqual("wait"u8))
        {
            return DeflectionRecord.Wait(Ticks(ref cursor));
        }

        if (word.SequenceEqual("marker"u8))
        {
            return DeflectionRecord.Marker(cursor.Integer("the marker's number", 0, long.MaxValue));
        }

        if (word.SequenceEqual("trigger"u8))
        {
            return DeflectionRecord.Trigger(cursor.Integer("the longest wait in ticks", 1, long.MaxValue));
        }

        cursor.FailExpected("jump, dot, line, wait, trigger, marker or end", word);
        return default;
    }

    private static int Code(ref LineCursor cursor, string what, int lastCode) => (int)cursor.Integer(what, 0, lastCode);

    private static long Ticks(ref LineCursor cursor) => cursor.Integer("the number of ticks", 0, long.MaxValue);
}
