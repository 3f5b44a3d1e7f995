using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Fuzz.Targets;

/// <summary>Small valid documents of every stage, made by the program itself.</summary>
internal static class Samples
{
    /// <summary>The built-in settings with coarse fills and a slow clock, so that documents stay short.</summary>
    public static BuildSettings Settings { get; } = Slow(BuildSettings.Read(JobFile.Parse("job: sample\nfill: {line_pitch: 200 nm, point_step: 100 nm}\n", null)));

    /// <summary>Drawings in the text layout.</summary>
    public static readonly string[] Layouts =
    [
        "layout 1\nunit um\nlayer a\nlayer b\nrect on a at (0, 0) size (2, 1)\ncircle on a at (1, 1) radius 0.7\nline on b (0, -1) (3, -1)\ndot on b at (-1, 0)\n",
        "layout 1\nunit nm\ngrid 1 nm\nlayer a\npolygon on a (0, 0) (400, 0) (400, 300) (200, 100) (0, 300)\npolygon on a (100, -50) (300, -50) (200, 250)\nring on a at (500, 0) inner 100 outer 180\n",
        "layout 1\nunit um\nlayer a\ncell c\n  path on a width 0.2 ends round (0, 0) (1, 0) (1, 1)\n  rect on a centre (0, 0) size (0.4, 0.4) dose 1.5\nend\narray c at (0, 0) columns 3 column-step (2, 0) rows 2 row-step (0, 2)\nplace c at (-3, 1) rotate 45\ntext \"S1\" on a at (0, -3) height 1 width 0.1\n",
        "layout 1\nunit um\nlayer a\nlet n = 3\nrepeat n as i\n  rect on a at (i * 2, sin(i)) size (1, 1 + i / n)\nend\n",
        "layout 1\nunit um\nlayer a\ndot on a at (0, 0)\ndot on a at (0.1, 0)\n",
    ];

    private const int LongestOutput = 1 << 14;

    /// <summary>Figures documents as text.</summary>
    public static readonly byte[][] Figures = [.. Layouts.Select(text => Written(new FiguresTextWriter(Out(out MemoryStream bytes)), FiguresOf(text), bytes))];

    /// <summary>The same in the binary form.</summary>
    public static readonly byte[][] BinaryFigures = [.. Layouts.Select(text => Written(new FiguresBinaryWriter(Out(out MemoryStream bytes)), FiguresOf(text), bytes))];

    /// <summary>Strokes documents as text.</summary>
    public static readonly byte[][] Strokes = [.. Layouts.Select(text => StrokesOf(text, stream => new StrokesTextWriter(stream)))];

    /// <summary>The same in the binary form.</summary>
    public static readonly byte[][] BinaryStrokes = [.. Layouts.Select(text => StrokesOf(text, stream => new StrokesBinaryWriter(stream)))];

    /// <summary>Records documents in the binary form.</summary>
    public static readonly byte[][] BinaryRecords = [.. Layouts.Select(text => RecordsOf(text, stream => new RecordsBinaryWriter(stream)))];

    /// <summary>What a back end writes for each drawing for which it does not write much.</summary>
    public static byte[][] Outputs(OutputFormat format, MotionDialect? dialect = null) =>
        [.. Layouts.Select(text => RecordsOf(text, stream => OutputFormats.Create(format, stream, Settings.Machine with { Motion = dialect }))).Where(bytes => bytes.Length < LongestOutput)];

    private static BuildSettings Slow(BuildSettings settings) =>
        settings with { Machine = settings.Machine with { Clock = settings.Machine.Clock with { Hertz = 100_000 } } };

    private static FiguresDocument FiguresOf(string layout)
    {
        LayoutDocument document = LayoutReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(layout)), "sample", new DrawingOptions(), new DiagnosticSink());
        FlatLayout flat = FlattenPass.Run(document, StageOptions.Flatten(Settings.Job), new DiagnosticSink());
        return FracturePass.Run(flat, StageOptions.Fracture(Settings.Job), new DiagnosticSink(), CancellationToken.None);
    }

    private static byte[] StrokesOf(string layout, Func<Stream, IDocumentSink<StrokesHeader, Stroke>> writer)
    {
        using var bytes = new MemoryStream();
        StrokesStage.Run(FiguresOf(layout), Settings, writer(bytes), new DiagnosticSink(), CancellationToken.None);
        return bytes.ToArray();
    }

    private static byte[] RecordsOf(string layout, Func<Stream, IDocumentSink<RecordsHeader, DeflectionRecord>> writer)
    {
        using var bytes = new MemoryStream();
        var scale = new ScalePass(StageOptions.Scale(Settings.Job, Settings.Machine), writer(bytes));
        StrokesStage.Run(FiguresOf(layout), Settings, scale, new DiagnosticSink(), CancellationToken.None);
        return bytes.ToArray();
    }

    private static MemoryStream Out(out MemoryStream bytes) => bytes = new MemoryStream();

    private static byte[] Written(IDocumentSink<FiguresHeader, Figure> writer, FiguresDocument document, MemoryStream bytes)
    {
        Send(document, writer);
        return bytes.ToArray();
    }

    /// <summary>Sends a document into a sink.</summary>
    public static void Send(FiguresDocument document, IDocumentSink<FiguresHeader, Figure> sink)
    {
        sink.Begin(document.Header);
        sink.Write(document.Figures.ToArray());
        sink.End();
    }
}
