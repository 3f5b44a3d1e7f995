using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Records;
using PatternCompiler.Send;
using PatternCompiler.Tests.BackEnds;

namespace PatternCompiler.Tests.Send;

/// <summary>A small exposure and its way to a fake receiver.</summary>
internal static class Sending
{
    /// <summary>Figures of the exposure.</summary>
    public const int Figures = 100;

    /// <summary>Records of a figure: marker, jump, dot, line.</summary>
    public const int PerFigure = 4;

    /// <summary>Records of the exposure.</summary>
    public const int Total = Figures * PerFigure;

    /// <summary>The exposure: figure f has records 4 f + 1 to 4 f + 4, counted from 1, and no two of them are alike.</summary>
    public static DeflectionRecord[] Records { get; } =
    [
        .. Enumerable.Range(0, Figures).SelectMany(f => new[]
        {
            DeflectionRecord.Marker(f),
            DeflectionRecord.Jump(f, 1000 + f, 50 + f % 7),
            DeflectionRecord.Dot(f, 1000 + f, 20 + f),
            DeflectionRecord.Line(f, 1000 + f, f + 5, 1000 + f, 6, 600 + f),
        }),
    ];

    /// <summary>The stream of the exposure.</summary>
    public static byte[] Stream { get; } = Emit(Records);

    /// <summary>Two seconds, three retries.</summary>
    public static SendOptions Usual { get; } = new(TimeSpan.FromSeconds(2), 3, 0);

    public static byte[] Emit(DeflectionRecord[] records)
    {
        using var target = new MemoryStream();
        var writer = new ExposureStreamWriter(target, StreamProfile.Lines);
        writer.Begin(Exposures.Header(16));
        writer.Write(records);
        writer.End();
        return target.ToArray();
    }

    public static SendReport Run(
        FakeReceiver receiver, SendOptions? options = null, Stream? source = null, Action<SendProgress>? observer = null, CancellationToken cancellation = default)
    {
        using Stream stream = source ?? new MemoryStream(Stream);
        return Sender.RunOn(stream, "chip", receiver, receiver, options ?? Usual, receiver.Time, observer ?? (_ => { }), cancellation);
    }

    /// <summary>The whole text of the error that ends the run.</summary>
    public static string Error(FakeReceiver receiver, SendOptions? options = null, Stream? source = null, CancellationToken cancellation = default) =>
        Assert.Throws<CompileException>(() => Run(receiver, options, source, null, cancellation)).Message;
}
