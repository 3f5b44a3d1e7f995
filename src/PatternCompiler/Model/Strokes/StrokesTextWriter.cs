using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Model.Strokes;

/// <summary>Writes strokes as text, one a line: positions in nanometres, charges in attocoulombs, both exact.</summary>
internal sealed class StrokesTextWriter : IDocumentSink<StrokesHeader, Stroke>
{
    private readonly Utf8Output output;
    private long count;

    /// <summary>Writes to a stream, which stays open.</summary>
    public StrokesTextWriter(Stream target)
    {
        output = new Utf8Output(target);
    }

    /// <inheritdoc/>
    public void Begin(StrokesHeader header)
    {
        output.Raw(StrokesText.FirstLine);
        output.EndLine();
        foreach (string layer in header.Layers)
        {
            output.Raw("layer"u8);
            output.Quoted(layer);
            output.EndLine();
        }

        if (header.Exposure.IsStated)
        {
            output.Raw("made-for "u8);
            output.Text(header.Exposure.ToString());
            output.EndLine();
        }

        if (header.WaitsForTrigger)
        {
            output.Raw("waits-for trigger"u8);
            output.EndLine();
        }
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        count += items.Length;
        foreach (ref readonly Stroke stroke in items)
        {
            output.Raw(stroke.Kind switch
            {
                StrokeKind.Jump => "jump"u8,
                StrokeKind.Line => "line"u8,
                StrokeKind.Dot => "dot"u8,
                StrokeKind.Via => "via"u8,
                StrokeKind.Await => "await"u8,
                _ => throw new ArgumentOutOfRangeException(nameof(items), stroke.Kind, "Unknown kind of stroke."),
            });
            output.Integer(stroke.Figure);
            output.Fixed(stroke.XFemtometres, StrokesText.PositionDecimals);
            output.Fixed(stroke.YFemtometres, StrokesText.PositionDecimals);
            if (stroke.Kind == StrokeKind.Line)
            {
                output.Fixed(stroke.EndXFemtometres, StrokesText.PositionDecimals);
                output.Fixed(stroke.EndYFemtometres, StrokesText.PositionDecimals);
                output.Integer(stroke.Points);
            }

            if (stroke.Kind == StrokeKind.Await)
            {
                output.Fixed(stroke.WaitPicoseconds, StrokesText.WaitDecimals);
            }

            if (!stroke.IsBlanked)
            {
                output.Fixed(stroke.ChargeZeptocoulombs, StrokesText.ChargeDecimals);
            }

            output.EndLine();
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        output.Raw("end"u8);
        output.Integer(count);
        output.EndLine();
        output.Flush();
    }
}
