using System.Collections.Immutable;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.BackEnds.Motion;
using PatternCompiler.BackEnds.Npy;
using PatternCompiler.BackEnds.Volts;
using PatternCompiler.BackEnds.Wave;
using PatternCompiler.BackEnds.Words;
using PatternCompiler.Files;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Jobs;

/// <summary>Chooses the back end of an output.</summary>
internal static class OutputWriter
{
    /// <summary>The writer of a format for a machine.</summary>
    /// <param name="format">What to write.</param>
    /// <param name="target">Takes the bytes; stays open.</param>
    /// <param name="machine">Whether the controller interpolates lines, and how it wants bare words.</param>
    public static IDocumentSink<RecordsHeader, DeflectionRecord> Create(OutputFormat format, Stream target, Machine machine) =>
        format switch
        {
            OutputFormat.Stream => new ExposureStreamWriter(target, machine.Link.InterpolatesLines ? StreamProfile.Lines : StreamProfile.Points),
            OutputFormat.Words => new WordsWriter(target, machine.Words),
            OutputFormat.Records => new RecordsTextWriter(target),
            OutputFormat.Volts => new VoltsWriter(target),
            OutputFormat.Wave => new WaveWriter(target),
            OutputFormat.Array => new NpyWriter(target),
            OutputFormat.Motion => new MotionWriter(target),
            _ => throw new ArgumentOutOfRangeException(nameof(format)),
        };

    /// <summary>The formats by the words for them in job files and on the command line.</summary>
    public static ImmutableArray<(string Word, OutputFormat Format)> Words { get; } =
    [
        ("stream", OutputFormat.Stream),
        ("words", OutputFormat.Words),
        ("records", OutputFormat.Records),
        ("volts", OutputFormat.Volts),
        ("wav", OutputFormat.Wave),
        ("npy", OutputFormat.Array),
        ("gcode", OutputFormat.Motion),
    ];

    /// <summary>The word of the version before for <see cref="OutputFormat.Motion"/>.</summary>
    public const string OldMotionWord = "rs274";

    /// <summary>The format as a content of files.</summary>
    public static FileContent ContentOf(OutputFormat format) => FileContent.Of(Words.First(entry => entry.Format == format).Word);

    /// <summary>True for formats that are not text.</summary>
    public static bool IsBinary(OutputFormat format) => format is OutputFormat.Stream or OutputFormat.Words or OutputFormat.Wave or OutputFormat.Array;
}
