using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Model.Strokes;

/// <summary>Writes the compact binary form of strokes.</summary>
internal sealed class StrokesBinaryWriter : IDocumentSink<StrokesHeader, Stroke>
{
    private readonly FrameOutput output;
    private Stroke last;
    private long count;

    /// <summary>Writes to a stream, which stays open.</summary>
    public StrokesBinaryWriter(Stream target)
    {
        output = new FrameOutput(target);
    }

    /// <inheritdoc/>
    public void Begin(StrokesHeader header)
    {
        output.Magic(CarrierMagic.Strokes);
        output.Unsigned((ulong)header.Layers.Length);
        foreach (string layer in header.Layers)
        {
            output.Name(layer);
        }

        output.BeginItem();
        output.Wide(header.Exposure.Value);
        if (header.WaitsForTrigger)
        {
            output.Byte(1);
        }

        output.EndFrame();
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        count += items.Length;
        foreach (ref readonly Stroke stroke in items)
        {
            output.BeginItem();
            output.Byte((byte)stroke.Kind);
            output.Signed((long)stroke.Figure - last.Figure);
            output.Signed(stroke.XFemtometres - last.EndXFemtometres);
            output.Signed(stroke.YFemtometres - last.EndYFemtometres);
            if (stroke.Kind == StrokeKind.Line)
            {
                output.Signed(stroke.EndXFemtometres - stroke.XFemtometres);
                output.Signed(stroke.EndYFemtometres - stroke.YFemtometres);
                output.Unsigned((ulong)stroke.Points);
            }

            if (stroke.Kind == StrokeKind.Await)
            {
                output.Unsigned((ulong)stroke.WaitPicoseconds);
            }

            if (!stroke.IsBlanked)
            {
                output.Unsigned((ulong)stroke.ChargeZeptocoulombs);
            }

            last = stroke;
        }
    }

    /// <inheritdoc/>
    public void End() => output.EndDocument(count);
}
