using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Oracles.BackEnds;

/// <summary>
/// The pages beside the back ends say enough to write a reader: those in <c>Readers</c> beside this file are written in Python from
/// the pages alone. From every output of a build of the text layout's example each gives back, tick by tick, the codes of both
/// outputs and the level of the blank line that the records of the same build hold.
/// </summary>
public sealed class OutputPageTests(OutputPageTests.Builds builds) : IClassFixture<OutputPageTests.Builds>
{
    [NumPyFact]
    public void Words_are_read_by_their_page() => AssertRead(OutputFormat.Words, "read_words.py");

    [NumPyFact]
    public void A_table_of_voltages_is_read_by_its_page() => AssertRead(OutputFormat.Volts, "read_volts.py");

    [NumPyFact]
    public void A_sound_file_is_read_by_its_page() => AssertRead(OutputFormat.Wave, "read_wav.py");

    [NumPyFact]
    public void An_array_is_read_by_its_page() => AssertRead(OutputFormat.Array, "read_npy.py");

    [NumPyFact]
    public void A_motion_program_is_read_by_its_page() => AssertRead(OutputFormat.Motion, "read_motion.py");

    [NumPyFact]
    public void A_value_change_dump_is_read_by_its_page() => AssertRead(OutputFormat.Dump, "read_vcd.py");

    /// <summary>GTKWave's reader takes the dump in; what its writer gives out of it is the same exposure.</summary>
    [GtkWaveFact]
    public void A_value_change_dump_is_read_by_a_waveform_viewer()
    {
        foreach (Build build in builds.All)
        {
            string kept = build.PathOf(OutputFormat.Dump) + ".fst";
            string back = build.PathOf(OutputFormat.Dump) + ".back";
            Assert.Equal(0, OutsidePrograms.Run("vcd2fst", [build.PathOf(OutputFormat.Dump), kept]).ExitCode);
            Assert.Equal(0, OutsidePrograms.Run("fst2vcd", ["-f", kept, "-o", back]).ExitCode);
            string seen = Run("read_vcd.py", back, build.Told);
            Assert.True(build.Expected.Value == seen, $"{build.Folder}: {FirstDifference(build.Expected.Value, seen)}");
        }
    }

    private void AssertRead(OutputFormat format, string reader)
    {
        foreach (Build build in builds.All)
        {
            string expected = build.Expected.Value;
            Assert.True(expected.Count(c => c == '\n') > 1000, "a pattern with few points");
            string seen = Run(reader, build.PathOf(format), build.Told);
            Assert.True(expected == seen, $"{format} of {build.Folder}: {FirstDifference(expected, seen)}");
        }
    }

    private static string Run(string reader, params string[] arguments)
    {
        string program = OutsidePrograms.Corpus("..", "PatternCompiler.Oracles", "BackEnds", "Readers", reader);
        (int code, string output, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, ["-B", program, .. arguments]);
        Assert.True(code == 0, $"{reader} {string.Join(' ', arguments)}: {errors}");
        return output;
    }

    private static string FirstDifference(string expected, string seen)
    {
        string[] lines = expected.Split('\n');
        string[] others = seen.Split('\n');
        int at = lines.Zip(others).TakeWhile(pair => pair.First == pair.Second).Count();
        return $"line {at + 1} is '{others.ElementAtOrDefault(at)}' in place of '{lines.ElementAtOrDefault(at)}'";
    }

    /// <summary>All outputs of one machine.</summary>
    /// <param name="Folder">Where they are.</param>
    /// <param name="Told">What the readers are told of the machine.</param>
    public sealed record Build(string Folder, string Told)
    {
        /// <summary>What the readers have to give.</summary>
        public Lazy<string> Expected => field ??= new(() => Run("read_records.py", PathOf(OutputFormat.Records)));

        /// <summary>File of a format.</summary>
        public string PathOf(OutputFormat format) => Path.Combine(Folder, format.ToString());
    }

    /// <summary>The example built for machines that differ in all that an output depends on.</summary>
    public sealed class Builds : IDisposable
    {
        // Steps are field over codes, of the axis that the output drives.
        private static readonly (string Name, string Machine, string Fill, string Told)[] Machines =
        [
            ("12 bit", """
                dac: {bits: 12, lowest: -10 V, highest: 10 V, coding: two's complement}
                deflection: {field_width: 100 um, field_height: 120 um, invert_y: yes}
                clock: {rate: 100 kHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}
                blanker: {active: high}
                """, "{line_pitch: 400 nm, point_step: 400 nm}", """
                {"bits": 12, "signed": true, "lowest": -10, "highest": 10, "last_code": false, "clock": 100000, "high_when_off": true,
                 "step_x": 24.4140625, "step_y": -29.296875}
                """),
            ("16 bit", """
                dac: {bits: 16, lowest: 0 V, highest: 5 V, coding: straight, full_scale: last code}
                deflection: {field_width: 120 um, field_height: 90 um, invert_x: yes, swap_axes: yes}
                clock: {rate: 250 kHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}
                blanker: {active: low}
                words: {word_bits: 16, fields: [y 16, x 16, blank 1, dwell 15], byte_order: most significant first, bit_order: least significant first}
                """, "{strategy: inward contours, line_pitch: 300 nm, point_step: 200 nm}", """
                {"bits": 16, "signed": false, "lowest": 0, "highest": 5, "last_code": true, "clock": 250000, "high_when_off": false,
                 "step_x": 1.3733119707, "step_y": -1.8310826276,
                 "words": {"word_bits": 16, "fields": [["y", 16], ["x", 16], ["blank", 1], ["dwell", 15]], "byte_order": "big", "reversed": true}}
                """),
            ("18 bit", """
                dac: {bits: 18, lowest: -5 V, highest: 10 V, coding: two's complement, fine_bits: 6, coarse_settle: 50 us}
                deflection: {field: 110 um}
                settle: {fixed: 150 us}
                clock: {rate: 200 kHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}
                blanker: {active: low, off_delay: 20 us, on_delay: 10 us}
                words: {word_bits: 24, fields: [scan 1, blank 1, dwell 4, x_coarse 12, x_fine 6, zero 3, y_fine 7, y_coarse 14], byte_order: least significant first}
                """, "{strategy: one-way raster, direction: y, line_pitch: 500 nm, point_step: 250 nm}", """
                {"bits": 18, "signed": true, "fine_bits": 6, "lowest": -5, "highest": 10, "last_code": false, "clock": 200000, "high_when_off": false,
                 "step_x": 0.4196166992, "step_y": 0.4196166992,
                 "words": {"word_bits": 24, "fields": [["scan", 1], ["blank", 1], ["dwell", 4], ["x_coarse", 12], ["x_fine", 6], ["zero", 3], ["y_fine", 7], ["y_coarse", 14]],
                 "byte_order": "little", "reversed": false}}
                """),
            ("no blanker", """
                dac: {bits: 10, lowest: -1 V, highest: 1 V, coding: offset binary, fine_bits: 8, coarse_settle: 1 us}
                deflection: {field_width: 140 um, field_height: 100 um, swap_axes: yes, invert_x: yes, invert_y: yes}
                clock: {rate: 150 kHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}
                blanker: none
                words: {word_bits: 8, fields: [blank 6, x_coarse 2, x_fine 8, zero 6, y_coarse 2, y_fine 8], byte_order: most significant first}
                """, "{strategy: raster, line_pitch: 400 nm, point_step: 400 nm}", """
                {"bits": 10, "signed": false, "fine_bits": 8, "lowest": -1, "highest": 1, "last_code": false, "clock": 150000, "high_when_off": true, "blanker": false,
                 "step_x": -97.65625, "step_y": -136.71875,
                 "words": {"word_bits": 8, "fields": [["blank", 6], ["x_coarse", 2], ["x_fine", 8], ["zero", 6], ["y_coarse", 2], ["y_fine", 8]], "byte_order": "big", "reversed": false}}
                """),
        ];

        private static readonly ImmutableArray<OutputFormat> Formats =
            [OutputFormat.Records, OutputFormat.Words, OutputFormat.Volts, OutputFormat.Wave, OutputFormat.Array, OutputFormat.Motion, OutputFormat.Dump];

        private readonly string folder = Directory.CreateTempSubdirectory("pages").FullName;

        public Builds() => All = [.. Machines.Select(machine => Make(machine.Name, machine.Machine, machine.Fill, machine.Told))];

        /// <summary>One build for each machine.</summary>
        public ImmutableArray<Build> All { get; }

        /// <inheritdoc/>
        public void Dispose() => Directory.Delete(folder, recursive: true);

        private Build Make(string name, string machineText, string fill, string told)
        {
            string drawing = OutsidePrograms.Corpus("..", "..", "examples", "text-layout", "sensor.layout");
            Machine machine = MachineFile.Parse(
                $"machine: {name}\n{machineText}\nbeam: {{current: 1 nA, spot: 50 nm, energy: 30 keV}}\nlink: {{rate: 1 MB/s, buffer: 64 KiB}}\n", name);
            Job job = JobFile.Parse($"job: {name}\nsources: ['{drawing}']\nfill: {fill}\n", null);
            var build = new Build(Directory.CreateDirectory(Path.Combine(folder, name)).FullName, told);
            FileStream[] files = [.. Formats.Select(format => File.Create(build.PathOf(format)))];
            var outputs = new FanOut<RecordsHeader, DeflectionRecord>([.. Formats.Zip(files).Select(pair => OutputFormats.Create(pair.First, pair.Second, machine))]);
            new Pipeline(new BuildSettings(job, machine, DefaultFiles.Process), new ExampleFiles(), new DiagnosticSink(), CancellationToken.None)
                .Run(PipelineInput.Drawings, [new SinkWatcher(null, outputs)]);
            foreach (FileStream file in files)
            {
                file.Dispose();
            }

            return build;
        }
    }

    private sealed class ExampleFiles : IBuildFiles
    {
        public Stream OpenDrawing(string path) => File.OpenRead(path);

        public IncludedFile? OpenInclude(string name, string from)
        {
            string path = Path.Combine(Path.GetDirectoryName(from)!, name);
            return new IncludedFile(File.OpenRead(path), path);
        }

        public IBuildOutput Create(string path, bool isBinary) => throw new NotSupportedException();
    }
}
