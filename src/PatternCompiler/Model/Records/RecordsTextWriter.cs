using PatternCompiler.Instrument;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Model.Records;

/// <summary>Writes records as text, one a line: codes in natural order, durations in clock ticks.</summary>
internal sealed class RecordsTextWriter : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private readonly Utf8Output output;
    private RecordTotals totals;

    /// <summary>Writes to a stream, which stays open.</summary>
    public RecordsTextWriter(Stream target)
    {
        output = new Utf8Output(target);
    }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        output.Raw(RecordsText.FirstLine);
        output.Raw("\nmachine"u8);
        output.Quoted(header.MachineName);
        output.Raw("\nbits"u8);
        output.Integer(header.Dac.Bits);
        output.Raw("\nrange"u8);
        output.Real(header.Dac.MinimumVolts);
        output.Real(header.Dac.MaximumVolts);
        output.Raw(" V\ncoding "u8);
        output.Text(RecordsText.Codings[(int)header.Dac.Coding]);
        output.Raw("\nfull-scale "u8);
        output.Text(RecordsText.FullScales[(int)header.Dac.FullScale]);
        output.Raw("\nclock"u8);
        output.Real(header.ClockHertz);
        output.Raw(" Hz\ndwell"u8);
        output.Integer(header.MinimumDwellTicks);
        output.Integer(header.MaximumDwellTicks);
        output.Raw(" ticks\nstep"u8);
        output.Real(header.NanometresPerCodeX);
        output.Real(header.NanometresPerCodeY);
        output.Raw(" nm\naxes "u8);
        output.Text(RecordsText.Axes[header.AxesAreSwapped ? 1 : 0]);
        output.EndLine();
        if (header.BlankLevel != BlankLevel.NotStated)
        {
            output.Raw("blank "u8);
            output.Text(RecordsText.BlankLevels[(int)header.BlankLevel - 1]);
            output.EndLine();
        }

        if (header.MadeFor.IsStated)
        {
            output.Raw("made-for "u8);
            output.Text($"{header.MadeFor.Settings} {header.MadeFor.Exposure}");
            output.EndLine();
        }

        if (header.WaitsForTrigger)
        {
            output.Raw("waits-for trigger"u8);
            output.EndLine();
        }
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        totals = totals.Plus(items);
        foreach (ref readonly DeflectionRecord record in items)
        {
            switch (record.Kind)
            {
                case RecordKind.Jump:
                    output.Raw("jump"u8);
                    Start(record);
                    break;
                case RecordKind.Dot:
                    output.Raw("dot"u8);
                    Start(record);
                    break;
                case RecordKind.Line:
                    output.Raw("line"u8);
                    Start(record);
                    output.Integer(record.EndX);
                    output.Integer(record.EndY);
                    output.Integer(record.Points);
                    break;
                case RecordKind.Wait:
                    output.Raw("wait"u8);
                    break;
                case RecordKind.Marker:
                    output.Raw("marker"u8);
                    break;
                case RecordKind.Trigger:
                    output.Raw("trigger"u8);
                    break;
                default:
                    throw new ArgumentOutOfRangeException(nameof(items), record.Kind, "Unknown kind of record.");
            }

            output.Integer(record.Ticks);
            output.EndLine();
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        output.Raw("end"u8);
        output.Integer(totals.Records);
        output.Integer(totals.Points);
        output.Integer(totals.Ticks);
        output.EndLine();
        output.Flush();
    }

    private void Start(in DeflectionRecord record)
    {
        output.Integer(record.X);
        output.Integer(record.Y);
    }
}
