using System.Collections.Immutable;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.BackEnds.Motion;
using PatternCompiler.BackEnds.Npy;
using PatternCompiler.BackEnds.ValueChange;
using PatternCompiler.BackEnds.Volts;
using PatternCompiler.BackEnds.Wave;
using PatternCompiler.BackEnds.Words;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Forms in which records leave the compiler.</summary>
public enum OutputFormat
{
    /// <summary>The framed binary stream.</summary>
    Stream,

    /// <summary>Bare binary words.</summary>
    Words,

    /// <summary>Text records.</summary>
    Records,

    /// <summary>Voltages as comma-separated values.</summary>
    Volts,

    /// <summary>A sound file of three channels: x, y and blank.</summary>
    Wave,

    /// <summary>An array file for numerical programs, a row for each point.</summary>
    Array,

    /// <summary>A motion program in standard words.</summary>
    Motion,

    /// <summary>A value change dump for waveform viewers.</summary>
    Dump,
}

/// <summary>
/// The table of back ends: what their files are called, who writes and reads them, and what they are known by. Everything that asks for
/// a format of outputs takes it from here.
/// </summary>
internal static class OutputFormats
{
    /// <summary>Turns records into the bytes of a target for a machine, and tells what that does to them.</summary>
    private delegate IDocumentSink<RecordsHeader, DeflectionRecord> Writer(Stream target, Machine machine, DiagnosticSink sink);

    /// <summary>Reads bytes back. Bare data do not say for which machine they were made: that must be asked for.</summary>
    private delegate void Reader(
        Stream source,
        string name,
        Func<(RecordsHeader Header, Machine Machine)> madeFor,
        IDocumentSink<RecordsHeader, DeflectionRecord> output,
        DiagnosticSink sink,
        CancellationToken cancellation);

    /// <summary>True if the first bytes are those of a format.</summary>
    private delegate bool Recognition(ReadOnlySpan<byte> firstBytes);

    private static ImmutableArray<Row> Table { get; } =
    [
        new(OutputFormat.Stream, true, new("stream", "an exposure stream", [".stream"]), (t, m, _) => WriteStream(t, m), (s, name, _, o, sink, c) => ExposureStreamReader.Read(s, name, o, sink, c), ExposureStreamReader.Recognises),
        new(OutputFormat.Words, true, new("words", "bare words", [".words"]), (t, m, _) => new WordsWriter(t, m.Words), (s, name, f, o, _, c) => WordsReader.Read(s, name, f().Header, f().Machine.Words, o, c), null),
        new(OutputFormat.Records, false, new("records", "records", [".records"]), (t, _, _) => new RecordsTextWriter(t), (s, name, _, o, sink, c) => RecordsReader.Read(s, name, o, sink, c), RecordsReader.Recognises),
        new(OutputFormat.Volts, false, new("volts", "a table of voltages", [".csv", ".volts"]), (t, _, _) => new VoltsWriter(t), (s, name, f, o, _, c) => VoltsReader.Read(s, name, f().Header, o, c), VoltsReader.Recognises),
        new(OutputFormat.Wave, true, new("wav", "a sound file", [".wav"]), (t, _, s) => new WaveWriter(t, s), (s, name, f, o, _, c) => WaveReader.Read(s, name, f().Header, o, c), WaveReader.Recognises),
        new(OutputFormat.Array, true, new("npy", "an array file", [".npy"]), (t, _, _) => new NpyWriter(t), (s, name, f, o, _, c) => NpyReader.Read(s, name, f().Header, o, c), NpyReader.Recognises),
        new(OutputFormat.Motion, false, new("gcode", "a motion program", [".gcode", ".ngc", ".nc", ".rs274"]), (t, m, s) => new MotionWriter(t, m.Motion, s), (s, name, f, o, _, c) => MotionReader.Read(s, name, f().Header, o, c, f().Machine.Motion), null),
        new(OutputFormat.Dump, false, new("vcd", "a value change dump", [".vcd"]), (t, _, _) => new DumpWriter(t), (s, name, f, o, _, c) => DumpReader.Read(s, name, f().Header, o, c), DumpReader.Recognises),
    ];

    /// <summary>The formats by the words for them in job files and on the command line.</summary>
    internal static Choice<OutputFormat> Choice { get; } = new([.. Table.Select(row => (row.Content.Word, row.Format))]);

    /// <summary>The word of the version before for <see cref="OutputFormat.Motion"/>.</summary>
    public const string OldMotionWord = "rs274";

    /// <summary>What files of each format are called.</summary>
    public static ImmutableArray<FileContent> Contents { get; } = [.. Table.Select(row => row.Content)];

    /// <summary>What <see cref="Recognise"/> knows.</summary>
    public static ImmutableArray<FileContent> Recognised { get; } = [.. Table.Where(row => row.Recognises is not null).Select(row => row.Content)];

    /// <summary>The format as a content of files.</summary>
    public static FileContent ContentOf(OutputFormat format) => Of(format).Content;

    /// <summary>True for formats that are not text.</summary>
    public static bool IsBinary(OutputFormat format) => Of(format).IsBinary;

    /// <summary>The writer of a format for a machine.</summary>
    /// <param name="format">What to write.</param>
    /// <param name="target">Takes the bytes; stays open.</param>
    /// <param name="machine">Whether the controller interpolates lines, and how it wants bare words and motion programs.</param>
    /// <param name="sink">Takes what the form does to the exposure; null where nobody asks.</param>
    public static IDocumentSink<RecordsHeader, DeflectionRecord> Create(OutputFormat format, Stream target, Machine machine, DiagnosticSink? sink = null)
    {
        IDocumentSink<RecordsHeader, DeflectionRecord> writer = Of(format).Write(target, machine, sink ?? new DiagnosticSink());
        return Of(format).CanWait ? writer : new TimedOutput(ContentOf(format), writer);
    }

    /// <summary>Reads an output back.</summary>
    /// <param name="format">What it is.</param>
    /// <param name="source">The bytes.</param>
    /// <param name="name">Their name, for errors.</param>
    /// <param name="madeFor">The header for data that have none, and the machine; asked only then.</param>
    /// <param name="output">Takes the records.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the work.</param>
    /// <exception cref="CompileException">They are not what they should be.</exception>
    public static void Read(
        OutputFormat format,
        Stream source,
        string name,
        Func<(RecordsHeader Header, Machine Machine)> madeFor,
        IDocumentSink<RecordsHeader, DeflectionRecord> output,
        DiagnosticSink sink,
        CancellationToken cancellation) => Of(format).Read(source, name, madeFor, output, sink, cancellation);

    /// <summary>The format whose first bytes these are; null if there is none.</summary>
    public static OutputFormat? Recognise(ReadOnlySpan<byte> firstBytes)
    {
        foreach (Row row in Table)
        {
            if (row.Recognises?.Invoke(firstBytes) == true)
            {
                return row.Format;
            }
        }

        return null;
    }

    /// <summary>What a machine's controller takes.</summary>
    internal static StreamProfile ProfileFor(Machine machine) => machine.Link.InterpolatesLines ? StreamProfile.Lines : StreamProfile.Points;

    private static Row Of(OutputFormat format) => Table.First(row => row.Format == format);

    private static ExposureStreamWriter WriteStream(Stream target, Machine machine) =>
        new(target, ProfileFor(machine));

    private sealed record Row(OutputFormat Format, bool IsBinary, FileContent Content, Writer Write, Reader Read, Recognition? Recognises)
    {
        /// <summary>The form has a record for waiting for a trigger.</summary>
        public bool CanWait => Format is OutputFormat.Stream or OutputFormat.Records;
    }

    /// <summary>An output that states every time in advance: it refuses records that wait for a trigger.</summary>
    private sealed class TimedOutput(FileContent content, IDocumentSink<RecordsHeader, DeflectionRecord> writer) : IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        public void Begin(RecordsHeader header)
        {
            if (header.WaitsForTrigger)
            {
                throw new CompileException(
                    BackEndCodes.CannotWait,
                    $"the records wait for the trigger input, and {content.Title} states every time in advance",
                    fix: $"choose {string.Join(" or ", Table.Where(row => row.CanWait).Select(row => row.Content.Word))}, or fill without 'fill.trigger'");
            }

            writer.Begin(header);
        }

        public void Write(ReadOnlySpan<DeflectionRecord> items) => writer.Write(items);

        public void End() => writer.End();
    }
}
