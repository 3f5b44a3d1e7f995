using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Model.Strokes;

/// <summary>Reads the text form of strokes.</summary>
internal static class StrokesTextReader
{
    public static void Read(
        CarrierInput input,
        string name,
        IDocumentSink<StrokesHeader, Stroke> sink,
        DiagnosticSink diagnostics,
        CancellationToken cancellation)
    {
        var reader = new Utf8LineReader(input, name);
        TextDocument.ReadFirstLine(reader, StrokesText.Name);
        var layers = ImmutableArray.CreateBuilder<string>();
        var batch = new SinkBatch<StrokesHeader, Stroke>(sink, cancellation);
        SettingsDigest exposure = default;
        bool waits = false;
        bool inHeader = true;
        while (true)
        {
            ReadOnlySpan<byte> line = TextDocument.ReadLine(reader, "a stroke or the end line");
            var cursor = new LineCursor(line, reader);
            ReadOnlySpan<byte> word = cursor.Field();
            if (inHeader && word.SequenceEqual("layer"u8))
            {
                layers.Add(cursor.Quoted("a layer name"));
                cursor.End();
                continue;
            }

            if (inHeader && word.SequenceEqual("made-for"u8))
            {
                exposure = cursor.Digest("the dose settings");
                cursor.End();
                continue;
            }

            if (inHeader && word.SequenceEqual("waits-for"u8))
            {
                cursor.Expect("trigger"u8);
                cursor.End();
                waits = true;
                continue;
            }

            if (inHeader)
            {
                inHeader = false;
                var header = new StrokesHeader(layers.DrainToImmutable()) { Exposure = exposure, WaitsForTrigger = waits };
                DocumentKinds.WarnOfEqualLayers(header.Layers, name, diagnostics);
                sink.Begin(header);
            }

            if (word.SequenceEqual("end"u8))
            {
                TextDocument.ReadTotal(ref cursor, "strokes", batch.Count);
                cursor.End();
                TextDocument.CheckNothingFollows(reader);
                batch.End();
                return;
            }

            batch.Add(ReadStroke(word, ref cursor));
            cursor.End();
        }
    }

    private static Stroke ReadStroke(ReadOnlySpan<byte> word, ref LineCursor cursor)
    {
        bool isLine = word.SequenceEqual("line"u8);
        bool isDot = word.SequenceEqual("dot"u8);
        // "pass" is the word of older documents.
        bool isVia = word.SequenceEqual("via"u8) || word.SequenceEqual("pass"u8);
        bool isAwait = word.SequenceEqual("await"u8);
        if (!isLine && !isDot && !isVia && !isAwait && !word.SequenceEqual("jump"u8))
        {
            cursor.FailExpected("jump, line, dot, via, await or end", word);
        }

        int figure = (int)cursor.Integer("the figure's number", 0, int.MaxValue);
        long x = Position(ref cursor, "x");
        long y = Position(ref cursor, "y");
        if (isLine)
        {
            long endX = Position(ref cursor, "the end's x");
            long endY = Position(ref cursor, "the end's y");
            int points = (int)cursor.Integer("the number of points", 1, int.MaxValue);
            return Stroke.Line(figure, x, y, endX, endY, points, Charge(ref cursor));
        }

        if (isAwait)
        {
            return Stroke.Await(figure, x, y, cursor.Fixed("the wait", StrokesText.WaitDecimals, 0, StrokesText.LongestWait));
        }

        return isDot ? Stroke.Dot(figure, x, y, Charge(ref cursor)) : isVia ? Stroke.Via(figure, x, y) : Stroke.Jump(figure, x, y);
    }

    private static long Position(ref LineCursor cursor, string what) => cursor.Fixed(
        what, StrokesText.PositionDecimals, -StrokesText.LargestPosition, StrokesText.LargestPosition);

    private static long Charge(ref LineCursor cursor) =>
        cursor.Fixed("the charge", StrokesText.ChargeDecimals, 0, long.MaxValue);
}
