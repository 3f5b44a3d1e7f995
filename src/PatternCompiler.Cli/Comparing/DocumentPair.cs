using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Cli.Files;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds;
using PatternCompiler.Jobs.Provenance;
using PatternCompiler.Limits;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction.Compare;

namespace PatternCompiler.Cli.Comparing;

/// <summary>Reads two documents of one kind and compares them.</summary>
/// <param name="context">Messages and cancellation.</param>
/// <param name="flatten">Reads a drawing and resolves its hierarchy.</param>
/// <param name="limits">How much work the comparison of areas may take.</param>
/// <param name="print">Predicts what a document of any kind would print, to compare that instead; or null.</param>
internal sealed class DocumentPair(CommandContext context, Func<InputStream, FlatLayout> flatten, WorkLimits limits, PrintedOutlines? print)
{
    private const int PeekBytes = 1024;

    private enum Kind
    {
        Drawing,
        Figures,
        Strokes,
        Exposure,
        Provenance,
    }

    /// <summary>Compares; null if the two are the same byte for byte.</summary>
    public DocumentComparison? Compare(string first, string second, CompareOptions options)
    {
        if (AreSameBytes(first, second))
        {
            return null;
        }

        if (print is not null)
        {
            return DocumentComparer.Layouts(print.Of(first), print.Of(second), limits, context.Cancellation) with { Kind = "print" };
        }

        using InputStream a = context.Open(first);
        using InputStream b = context.Open(second);
        Kind kind = KindOf(a);
        if (kind != KindOf(b))
        {
            throw new CompileException(
                CompareCodes.KindsDiffer,
                $"'{first}' is {Name(kind)}, but '{second}' is {Name(KindOf(b))}",
                fix: "compare documents of one kind");
        }

        return kind switch
        {
            Kind.Figures => DocumentComparer.Figures(
                FiguresReader.Read(a, a.Name, context.Sink, context.Cancellation),
                FiguresReader.Read(b, b.Name, context.Sink, context.Cancellation),
                limits,
                context.Cancellation),
            Kind.Strokes => DocumentComparer.Strokes(Strokes(a), Strokes(b), options, context.Cancellation),
            Kind.Exposure => DocumentComparer.Records(Records(a), Records(b), options, context.Cancellation),
            Kind.Provenance => ProvenanceComparer.Compare(a, a.Name, b, b.Name),
            _ => DocumentComparer.Layouts(flatten(a), flatten(b), limits, context.Cancellation),
        };
    }

    /// <summary>True if a document has something to draw.</summary>
    public bool HasPicture(string name)
    {
        if (print is not null)
        {
            return true;
        }

        using InputStream input = context.Open(name);
        return KindOf(input) != Kind.Provenance;
    }

    /// <summary>Where two documents of one kind differ.</summary>
    public Scene Picture(string first, string second) => Draw(first, second, new PictureOptions { Title = $"{Path.GetFileName(first)} | {Path.GetFileName(second)}" }).Difference;

    /// <summary>Two documents of one kind, each alone and where they differ, in one frame.</summary>
    public (Scene First, Scene Second, Scene Difference) Pictures(string first, string second, PictureOptions options)
    {
        DrawnPair drawn = Draw(first, second, options);
        PictureFrame frame = drawn.Difference.Frame;
        PictureOptions same = options with
        {
            HeightPixels = frame.Height,
            Window = new PictureWindow((frame.View.Left + frame.View.Right) / 2, (frame.View.Bottom + frame.View.Top) / 2, frame.View.Width),
        };
        return (drawn.First(same), drawn.Second(same), drawn.Difference);
    }

    private DrawnPair Draw(string first, string second, PictureOptions options)
    {
        if (print is not null)
        {
            return Areas(print.Of(first), print.Of(second), options);
        }

        using InputStream a = context.Open(first);
        using InputStream b = context.Open(second);
        switch (KindOf(a))
        {
            case Kind.Drawing:
                return Areas(flatten(a), flatten(b), options);
            case Kind.Figures:
                return Areas(
                    FiguresOutline.Of(FiguresReader.Read(a, a.Name, context.Sink, context.Cancellation)),
                    FiguresOutline.Of(FiguresReader.Read(b, b.Name, context.Sink, context.Cancellation)),
                    options);
            case Kind.Strokes:
                CollectedDocument<StrokesHeader, Stroke> s = Strokes(a), t = Strokes(b);
                return new DrawnPair(window => Drawn(s, window), window => Drawn(t, window), ExposureDifferencePicture.Compose(s, t, options));
            case Kind.Provenance:
                throw new CompileException(
                    CompareCodes.NothingToDraw, $"'{first}' tells where outputs come from: there is no picture of that", fix: "compare the outputs themselves, or leave --picture out");
            default:
                CollectedDocument<RecordsHeader, DeflectionRecord> r = Records(a), q = Records(b);
                return new DrawnPair(window => Drawn(r, window), window => Drawn(q, window), ExposureDifferencePicture.Compose(r, q, options));
        }
    }

    private DrawnPair Areas(FlatLayout first, FlatLayout second, PictureOptions options) => new(
        window => LayoutPicture.Compose(first, window),
        window => LayoutPicture.Compose(second, window),
        AreaDifferencePicture.Compose(first, second, options, limits, context.Cancellation));

    private static Scene Drawn(CollectedDocument<StrokesHeader, Stroke> document, PictureOptions options)
    {
        var picture = new StrokesPicture(options);
        document.Replay(picture);
        return picture.Compose();
    }

    private static Scene Drawn(CollectedDocument<RecordsHeader, DeflectionRecord> document, PictureOptions options)
    {
        var picture = new RecordsPicture(options);
        document.Replay(picture);
        return picture.Compose();
    }

    /// <summary>True if both are the same byte for byte; false for standard input, which can be read only once.</summary>
    public bool AreSameBytes(string first, string second)
    {
        if (first == InputFile.StandardName || second == InputFile.StandardName)
        {
            return false;
        }

        using InputStream a = context.Open(first);
        using InputStream b = context.Open(second);
        var left = new byte[1 << 16];
        var right = new byte[1 << 16];
        while (true)
        {
            int count = a.ReadAtLeast(left, left.Length, throwOnEndOfStream: false);
            int other = b.ReadAtLeast(right, right.Length, throwOnEndOfStream: false);
            if (count != other || !left.AsSpan(0, count).SequenceEqual(right.AsSpan(0, other)))
            {
                return false;
            }

            if (count == 0)
            {
                return true;
            }
        }
    }

    /// <summary>
    /// True for what can be compared beyond its bytes. Pictures (PNG and SVG) are not: as drawings they would mean something else
    /// than what they show.
    /// </summary>
    public bool IsDocument(string name)
    {
        using InputStream input = context.Open(name);
        ReadOnlySpan<byte> first = input.Peek(PeekBytes);
        return KindOf(input) != Kind.Drawing || (DrawingReader.Recognises(first) && !PictureStart.Recognises(first));
    }

    private static Kind KindOf(InputStream input)
    {
        ReadOnlySpan<byte> first = input.Peek(PeekBytes);
        return ProvenanceComparer.Recognises(first) ? Kind.Provenance
            : FiguresReader.Recognises(first) ? Kind.Figures
            : StrokesReader.Recognises(first) ? Kind.Strokes
            : RecordsReader.Recognises(first) || ExposureStreamReader.Recognises(first) ? Kind.Exposure
            : Kind.Drawing;
    }

    private static string Name(Kind kind) => kind switch
    {
        Kind.Figures => "a figures document",
        Kind.Strokes => "a strokes document",
        Kind.Exposure => "an exposure",
        Kind.Provenance => "a provenance file",
        _ => "a drawing",
    };

    private CollectedDocument<StrokesHeader, Stroke> Strokes(InputStream input)
    {
        var document = new CollectedDocument<StrokesHeader, Stroke>();
        StrokesReader.Read(input, input.Name, document, context.Sink, context.Cancellation);
        return document;
    }

    private CollectedDocument<RecordsHeader, DeflectionRecord> Records(InputStream input)
    {
        var document = new CollectedDocument<RecordsHeader, DeflectionRecord>();
        if (ExposureStreamReader.Recognises(input.Peek(PeekBytes)))
        {
            ExposureStreamReader.Read(input, input.Name, document, context.Sink, context.Cancellation);
        }
        else
        {
            RecordsReader.Read(input, input.Name, document, context.Sink, context.Cancellation);
        }

        return document;
    }
}

/// <summary>Two documents, each to be drawn alone in a frame that is given, and the picture of their difference.</summary>
internal sealed record DrawnPair(Func<PictureOptions, Scene> First, Func<PictureOptions, Scene> Second, Scene Difference);

/// <summary>Recognises pictures by their first bytes.</summary>
internal static class PictureStart
{
    private static ReadOnlySpan<byte> PngSignature => [0x89, (byte)'P', (byte)'N', (byte)'G', 0x0D, 0x0A, 0x1A, 0x0A];

    /// <summary>True for PNG, and for SVG or another text that starts with a tag.</summary>
    public static bool Recognises(ReadOnlySpan<byte> first) =>
        first.StartsWith(PngSignature) || first.TrimStart(" \t\r\n\uFEFF"u8).StartsWith("<"u8);
}
