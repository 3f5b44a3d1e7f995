using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Model.Records;

/// <summary>
/// Writes the compact binary form of records, for pipes and files between stages. What a controller reads is the
/// exposure stream of the back ends, not this.
/// </summary>
internal sealed class RecordsBinaryWriter : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private readonly FrameOutput output;
    private int lastX;
    private int lastY;
    private long count;

    /// <summary>Writes to a stream, which stays open.</summary>
    public RecordsBinaryWriter(Stream target)
    {
        output = new FrameOutput(target);
    }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        output.Magic(CarrierMagic.Records);
        output.Name(header.MachineName);
        output.BeginItem();
        output.Byte((byte)header.Dac.Bits);
        output.Byte((byte)header.Dac.Coding);
        output.Byte((byte)header.Dac.FullScale);
        output.Byte(header.AxesAreSwapped ? (byte)1 : (byte)0);
        output.Real(header.Dac.MinimumVolts);
        output.Real(header.Dac.MaximumVolts);
        output.Real(header.ClockHertz);
        output.Real(header.NanometresPerCodeX);
        output.Real(header.NanometresPerCodeY);
        output.Unsigned((ulong)header.MinimumDwellTicks);
        output.Unsigned((ulong)header.MaximumDwellTicks);
        output.Byte((byte)header.BlankLevel);
        output.Wide(header.MadeFor.Settings.Value);
        output.Wide(header.MadeFor.Exposure.Value);
        if (header.WaitsForTrigger)
        {
            output.Byte(1);
        }

        output.EndFrame();
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        count += items.Length;
        foreach (ref readonly DeflectionRecord record in items)
        {
            output.BeginItem();
            output.Byte((byte)record.Kind);
            if (record.Kind <= RecordKind.Line)
            {
                Point(record.X, record.Y);
            }

            if (record.Kind == RecordKind.Line)
            {
                Point(record.EndX, record.EndY);
                output.Unsigned((ulong)record.Points);
            }

            output.Unsigned((ulong)record.Ticks);
        }
    }

    /// <inheritdoc/>
    public void End() => output.EndDocument(count);

    private void Point(int x, int y)
    {
        output.Signed((long)x - lastX);
        output.Signed((long)y - lastY);
        (lastX, lastY) = (x, y);
    }
}
