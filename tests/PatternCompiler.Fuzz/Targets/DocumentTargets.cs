using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.BackEnds.Motion;
using PatternCompiler.BackEnds.Npy;
using PatternCompiler.BackEnds.ValueChange;
using PatternCompiler.BackEnds.Volts;
using PatternCompiler.BackEnds.Wave;
using PatternCompiler.BackEnds.Words;
using PatternCompiler.Diagnostics;
using PatternCompiler.Fuzz.Mutation;
using PatternCompiler.Fuzz.Running;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Fuzz.Targets;

/// <summary>One target for each form in which figures, strokes and records are read.</summary>
internal static class DocumentTargets
{
    private static readonly RecordsHeader Header = MachineHeader();

    // Samples have dwells of some ticks of 10 us.
    private static readonly MotionDialect Dialect = new() { VoltsPerUnit = 0.5, DwellStepSeconds = 1e-6, DwellWord = DwellWord.MillisecondsP, BeamOn = "M62 P0", BeamOff = "M63 P0" };

    /// <summary>The targets.</summary>
    public static IEnumerable<FuzzTarget> All =>
    [
        new("figures", Samples.Figures, TextMutations.All, ReadFigures),
        new("figures-binary", Samples.BinaryFigures, ByteMutations.All, ReadFigures) { Repair = Checksums.Document },
        new("strokes", Samples.Strokes, TextMutations.All, ReadStrokes),
        new("strokes-binary", Samples.BinaryStrokes, ByteMutations.All, ReadStrokes) { Repair = Checksums.Document },
        new("records", Samples.Outputs(OutputFormat.Records), TextMutations.All, ReadRecords),
        new("records-binary", Samples.BinaryRecords, ByteMutations.All, ReadRecords) { Repair = Checksums.Document },
        new("stream", Samples.Outputs(OutputFormat.Stream), ByteMutations.All, (input, cancellation) =>
            ExposureStreamReader.Read(new MemoryStream(input), "stream", Records(), new DiagnosticSink(), cancellation)) { Repair = Checksums.Stream },
        new("words", Samples.Outputs(OutputFormat.Words), ByteMutations.All, (input, cancellation) =>
            WordsReader.Read(new MemoryStream(input), "words", Header, null, Records(), cancellation)),
        new("volts", Samples.Outputs(OutputFormat.Volts), TextMutations.All, (input, cancellation) =>
            VoltsReader.Read(new MemoryStream(input), "volts", Header, Records(), cancellation)),
        new("wav", Samples.Outputs(OutputFormat.Wave), ByteMutations.All, (input, cancellation) =>
            WaveReader.Read(new MemoryStream(input), "wav", Header, Records(), cancellation)),
        new("npy", Samples.Outputs(OutputFormat.Array), ByteMutations.All, (input, cancellation) =>
            NpyReader.Read(new MemoryStream(input), "npy", Header, Records(), cancellation)),
        new("vcd", Samples.Outputs(OutputFormat.Dump), TextMutations.All, (input, cancellation) =>
            DumpReader.Read(new MemoryStream(input), "vcd", Header, Records(), cancellation)),
        new("motion", Samples.Outputs(OutputFormat.Motion), TextMutations.All, (input, cancellation) =>
            MotionReader.Read(new MemoryStream(input), "motion", Header, Records(), cancellation)),
        new("motion-dialect", Samples.Outputs(OutputFormat.Motion, Dialect), TextMutations.All, (input, cancellation) =>
            MotionReader.Read(new MemoryStream(input), "motion", Header, Records(), cancellation, Dialect)),
    ];

    private static Discard<RecordsHeader, DeflectionRecord> Records() => new();

    private static void ReadFigures(byte[] input, CancellationToken cancellation) =>
        FiguresReader.Read(new MemoryStream(input), "figures", new DiagnosticSink(), cancellation);

    private static void ReadStrokes(byte[] input, CancellationToken cancellation) =>
        StrokesReader.Read(new MemoryStream(input), "strokes", new Discard<StrokesHeader, Stroke>(), new DiagnosticSink(), cancellation);

    private static void ReadRecords(byte[] input, CancellationToken cancellation) =>
        RecordsReader.Read(new MemoryStream(input), "records", Records(), new DiagnosticSink(), cancellation);

    private static RecordsHeader MachineHeader()
    {
        Discard<RecordsHeader, DeflectionRecord> records = Records();
        new ScalePass(StageOptions.Scale(Samples.Settings.Job, Samples.Settings.Machine), records).Begin(new StrokesHeader([]));
        return records.Header!;
    }
}
