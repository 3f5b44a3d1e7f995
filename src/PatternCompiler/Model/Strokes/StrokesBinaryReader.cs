using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Model.Strokes;

/// <summary>Reads the binary form of strokes.</summary>
internal static class StrokesBinaryReader
{
    public static void Read(
        CarrierInput carrier,
        string name,
        IDocumentSink<StrokesHeader, Stroke> sink,
        DiagnosticSink diagnostics,
        CancellationToken cancellation)
    {
        var input = new FrameInput(carrier, name);
        input.Magic();
        if (!input.TryNextFrame())
        {
            input.Corrupt("the document has no header");
        }

        var header = new StrokesHeader(BinaryDocument.ReadLayers(input));
        if (input.HasMore)
        {
            header = header with { Exposure = new SettingsDigest(input.Wide()) };
        }

        if (input.HasMore)
        {
            header = header with { WaitsForTrigger = input.Checked("whether strokes wait for a trigger", input.Byte(), 0, 1) == 1 };
        }

        DocumentKinds.WarnOfEqualLayers(header.Layers, name, diagnostics);
        sink.Begin(header);
        var batch = new SinkBatch<StrokesHeader, Stroke>(sink, cancellation);
        Stroke last = default;
        while (input.TryNextFrame())
        {
            while (input.HasMore)
            {
                last = ReadStroke(input, last);
                batch.Add(last);
            }
        }

        BinaryDocument.CheckTotal(input, "strokes", batch.Count);
        batch.End();
    }

    private static Stroke ReadStroke(FrameInput input, in Stroke last)
    {
        var kind = (StrokeKind)input.Byte();
        if (kind > StrokeKind.Await)
        {
            input.Corrupt($"there is no kind of stroke {(byte)kind}");
        }

        int figure = (int)input.Checked("the figure's number", unchecked(last.Figure + input.Signed()), 0, int.MaxValue);
        long x = Position(input, "x", last.EndXFemtometres);
        long y = Position(input, "y", last.EndYFemtometres);
        if (kind == StrokeKind.Line)
        {
            long endX = Position(input, "the end's x", x);
            long endY = Position(input, "the end's y", y);
            int points = (int)input.Checked("the number of points", (long)input.Unsigned(), 1, int.MaxValue);
            return Stroke.Line(figure, x, y, endX, endY, points, Charge(input));
        }

        return kind switch
        {
            StrokeKind.Dot => Stroke.Dot(figure, x, y, Charge(input)),
            StrokeKind.Via => Stroke.Via(figure, x, y),
            StrokeKind.Await => Stroke.Await(figure, x, y, input.Checked("the wait", (long)input.Unsigned(), 0, StrokesText.LongestWait)),
            _ => Stroke.Jump(figure, x, y),
        };
    }

    private static long Position(FrameInput input, string what, long from) => input.Checked(
        what, unchecked(from + input.Signed()), -StrokesText.LargestPosition, StrokesText.LargestPosition);

    private static long Charge(FrameInput input) => input.Checked("the charge", (long)input.Unsigned(), 0, long.MaxValue);
}
