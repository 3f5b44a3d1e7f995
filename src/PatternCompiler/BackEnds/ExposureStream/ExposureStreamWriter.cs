using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.ExposureStream;

/// <summary>Writes records as the framed stream that controllers read (README.md beside this file).</summary>
internal sealed class ExposureStreamWriter : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private readonly Stream target;
    private readonly StreamProfile profile;
    private readonly int? wordBytes;
    private BlockOutput? output;
    private RecordTotals totals;
    private long taken;

    /// <summary>Writes to a stream, which stays open.</summary>
    /// <param name="target">Where to.</param>
    /// <param name="profile">Which records it may hold.</param>
    /// <param name="wordBytes">Bytes of a word, or null for the narrowest that the converter's codes fit.</param>
    public ExposureStreamWriter(Stream target, StreamProfile profile, int? wordBytes = null)
    {
        this.target = target;
        this.profile = profile;
        this.wordBytes = wordBytes;
    }

    /// <summary>Writes to a stream, which stays open.</summary>
    public ExposureStreamWriter(Stream target, ExposureStreamOptions options)
        : this(target, options.Profile, options.WordBytes)
    {
    }

    private BlockOutput Output => output ?? throw new InvalidOperationException("The document has not begun.");

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        ExposureStreamOptions options = ExposureStreamOptions.For(header.Dac, profile);
        options = options with { WordBytes = wordBytes ?? options.WordBytes, WaitsForTrigger = header.WaitsForTrigger };
        if (StreamHeader.FaultOf(header, options) is string fault)
        {
            throw new CompileException(BackEndCodes.NotRepresentable, fault, fix: "choose wider words");
        }

        output = new BlockOutput(target, options.WordBytes, header.Dac.CodingMask);
        output.Header(StreamHeader.Encode(header, options));
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        BlockOutput blocks = Output;
        foreach (ref readonly DeflectionRecord record in items)
        {
            taken++;
            if (record.Kind == RecordKind.Dot)
            {
                blocks.Point(StreamFormat.DotWord, record.X, record.Y, Checked(record.Ticks));
                Count(1, 1, record.Ticks);
            }
            else if (record.Kind == RecordKind.Line)
            {
                WriteLine(blocks, record);
            }
            else
            {
                WriteUnexposed(blocks, record);
            }
        }
    }

    /// <inheritdoc/>
    public void End() => Output.End(totals);

    private void WriteLine(BlockOutput blocks, in DeflectionRecord line)
    {
        Checked(LinePoints.LongestDwell(line));
        if (profile == StreamProfile.Lines)
        {
            blocks.Line(line);
            Count(1, line.Points, line.Ticks);
            return;
        }

        blocks.Dots(line);
        Count(line.Points, line.Points, line.Ticks);
    }

    private void WriteUnexposed(BlockOutput blocks, in DeflectionRecord record)
    {
        switch (record.Kind)
        {
            case RecordKind.Jump:
                blocks.Point(StreamFormat.JumpWord, record.X, record.Y, Checked(record.Ticks));
                Count(1, 0, record.Ticks);
                break;
            case RecordKind.Wait:
                blocks.Value(StreamFormat.WaitWord, Checked(record.Ticks));
                Count(1, 0, record.Ticks);
                break;
            case RecordKind.Marker:
                blocks.Value(StreamFormat.MarkerWord, Checked(record.Ticks));
                Count(1, 0, 0);
                break;
            case RecordKind.Trigger:
                blocks.Value(StreamFormat.TriggerWord, Checked(record.Ticks));
                Count(1, 0, 0);
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(record), record.Kind, "Unknown kind of record.");
        }
    }

    // Totals are those of the stream: a line written as points counts as that many records.
    private void Count(long records, long exposed, long ticks) =>
        totals = new(totals.Records + records, totals.Points + exposed, totals.Ticks + ticks);

    private long Checked(long value) => (ulong)value <= (ulong)StreamFormat.LargestPair ? value : throw TooLarge(value);

    private CompileException TooLarge(long value) => new(
        BackEndCodes.NotRepresentable,
        $"record {taken} has the value {value}, a stream holds 0 to {StreamFormat.LargestPair}",
        fix: "use a slower clock, or more passes with shorter dwells");
}
