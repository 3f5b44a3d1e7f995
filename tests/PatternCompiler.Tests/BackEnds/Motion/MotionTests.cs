using System.Text;
using System.Text.RegularExpressions;
using CsCheck;
using PatternCompiler.BackEnds.Motion;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds.Motion;

public sealed partial class MotionTests
{
    private const string Example = """
        %
        G21 G90 G93
        M5
        (MSG, M5 turns the beam off: the blank line must then be high)
        (scale: 1 mm of X or Y is 1 mm on the sample, and at the outputs 3255.20833333 V of X and -3255.20833333 V of Y)
        (note: rapid moves: the beam is off during G0, which takes its own time beside the dwells)
        (note: acceleration: G1 exposes and has to run at one speed from end to end; where it starts and stops slowly its ends get more dose)
        (note: queue: beam words and dwells have to wait for the moves before them, also where blocks are read ahead)
        (figure 4)
        G0 X0.00015 Y-0.0000015
        G4 P0.00005
        M3
        G1 X0.0003 Y-0.0000015 F297029.702970297 (points 101)
        M5
        G0 X0 Y0
        M3
        G4 P0.000002
        M5
        G4 P0.00001
        M2
        %

        """;

    private static readonly DeflectionRecord[] Pattern =
    [
        DeflectionRecord.Marker(4),
        DeflectionRecord.Jump(2148, 2049, 500),
        DeflectionRecord.Line(2148, 2049, 2248, 2049, 101, 2020),
        DeflectionRecord.Dot(2048, 2048, 20),
        DeflectionRecord.Wait(100),
    ];

    [Fact]
    public void A_small_exposure_is_a_readable_program()
    {
        string text = Encoding.UTF8.GetString(Written(Exposures.Header(12), Pattern));
        Assert.Equal(Example, text);
        Assert.Equal(Pattern, Read(Encoding.UTF8.GetBytes(text), Exposures.Header(12)).Items);
    }

    /// <summary>Feeds of any clock, without an exponent and never nothing: 60 s a minute through 30 ticks are twice the rate.</summary>
    [Theory]
    [InlineData(1e30, "2000000000000000000000000000000")]
    [InlineData(1.5, "3")]
    [InlineData(1e-5, "0.00002")]
    public void A_feed_is_a_plain_number(double hertz, string feed) => Assert.Contains(
        $" F{feed} (points 2)\n",
        Encoding.UTF8.GetString(Written(Exposures.Header(12) with { ClockHertz = hertz }, [DeflectionRecord.Jump(1, 2, 3), DeflectionRecord.Line(1, 2, 3, 4, 2, 30)])),
        StringComparison.Ordinal);

    // 12 bits: the middle is code 2048. A code is 1.5 nm along X and -1.5 nm along Y; a tick is 100 ns.
    [Fact]
    public void Moves_go_along_both_axes_and_lines_may_stand_or_take_no_time()
    {
        DeflectionRecord[] pattern =
        [
            DeflectionRecord.Jump(2047, 2058, 3),
            DeflectionRecord.Line(2047, 2058, 2049, 2046, 5, 60),
            DeflectionRecord.Line(2049, 2046, 2049, 2040, 2, 0),
            DeflectionRecord.Line(2049, 2040, 2049, 2040, 3, 9),
            DeflectionRecord.Line(2049, 2040, 2050, 2041, 1, 4),
            DeflectionRecord.Dot(2049, 2040, 7),
            DeflectionRecord.Dot(2049, 2041, 7),
            DeflectionRecord.Line(2060, 2041, 2060, 2050, 2, 10),
        ];
        string text = Encoding.UTF8.GetString(Written(Exposures.Header(12), pattern));
        Assert.Equal(
            """
            G0 X-0.0000015 Y-0.000015
            G4 P0.0000003
            M3
            G1 X0.0000015 Y0.000003 F10000000 (points 5)
            M5
            G0 X0.0000015 Y0.000012 (points 2)
            M3
            G4 P0.0000009 (points 3)
            G4 P0.0000004 (points 1)
            G4 P0.0000007
            M5
            G0 X0.0000015 Y0.0000105
            M3
            G4 P0.0000007
            M5
            G0 X0.000018 Y0.0000105
            M3
            G1 X0.000018 Y-0.000003 F60000000 (points 2)
            M5
            M2
            %

            """,
            text[(text.IndexOf("read ahead)", StringComparison.Ordinal) + 12)..]);
        Assert.Equal(Exposures.Timeline(Exposures.Header(12), pattern), Exposures.Timeline(Exposures.Header(12), Read(Encoding.UTF8.GetBytes(text), Exposures.Header(12)).Items));
    }

    /// <summary>The beam is on for what lasts, be it one tick, and off for what does not.</summary>
    [Theory]
    [InlineData(0, "G0 X0.0000015 Y0 (points 2)\n")]
    [InlineData(1, "M3\nG1 X0.0000015 Y0 F600000000 (points 2)\nM5\n")]
    [InlineData(2, "M3\nG1 X0.0000015 Y0 F300000000 (points 2)\nM5\n")]
    public void A_line_of_one_tick_is_exposed(long ticks, string expected) => Assert.EndsWith(
        $"(figure 1)\nG0 X0 Y0\n{expected}M2\n%\n",
        Encoding.UTF8.GetString(Written(Exposures.Header(12), [DeflectionRecord.Marker(1), DeflectionRecord.Line(2048, 2048, 2049, 2048, 2, ticks)])),
        StringComparison.Ordinal);

    /// <summary>After a line the beam waits where it is, and what moved it to the line's start is forgotten; so after dots and jumps.</summary>
    [Fact]
    public void What_waits_after_something_written_is_a_wait()
    {
        DeflectionRecord[] pattern =
        [
            DeflectionRecord.Line(100, 100, 110, 100, 3, 30),
            DeflectionRecord.Wait(7),
            DeflectionRecord.Line(200, 300, 210, 310, 3, 30),
            DeflectionRecord.Wait(8),
            DeflectionRecord.Dot(500, 600, 9),
            DeflectionRecord.Wait(10),
            DeflectionRecord.Jump(700, 800, 11),
            DeflectionRecord.Wait(12),
            DeflectionRecord.Line(700, 800, 700, 800, 2, 13),
            DeflectionRecord.Wait(14),
        ];
        Assert.Equal(pattern, Read(Written(Exposures.Header(12), pattern), Exposures.Header(12)).Items);
    }

    [Fact]
    public void The_level_is_told_once()
    {
        RecordsHeader header = Exposures.Header(12);
        string text = Encoding.UTF8.GetString(Written(header, [DeflectionRecord.Jump(2047, 2058, 3)]));
        string level = text.Split('\n').Single(line => line.StartsWith("(MSG, ", StringComparison.Ordinal)) + "\n";
        Read(Encoding.UTF8.GetBytes(text), header);
        Assert.Contains("PC2012", Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes(text.Replace(level, level + level, StringComparison.Ordinal)), header)).Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("(figure 4", "(figure 4")]
    [InlineData("(figure 42", "(figure 42")]
    [InlineData("(figure 42]", "(figure 42]")]
    [InlineData("M3\nG1 X0 Y0 F5 (points 12", "G1 X0 Y0 F5 (points 12")]
    [InlineData("(figure -4)", "(figure -4)")]
    [InlineData("(figure x)", "(figure x)")]
    [InlineData("(figures 4)", "(figures 4)")]
    [InlineData("G0 X0 Z0", "G0 X0 Z0")]
    [InlineData("G0 A0 Y0", "G0 A0 Y0")]
    [InlineData("G0 X0 Y0 F5", "G0 X0 Y0 F5")]
    [InlineData("G0 X0 Yy", "G0 X0 Yy")]
    [InlineData("G0 Xx Y0", "G0 Xx Y0")]
    [InlineData("G4 Px", "G4 Px")]
    [InlineData("G4 P1 (point 2)", "G4 P1 (point 2)")]
    [InlineData("M3\nG1 X0 Y0 F0 (points 2)", "G1 X0 Y0 F0 (points 2)")]
    [InlineData("M3\nG1 X0 Y0 F-1 (points 2)", "G1 X0 Y0 F-1 (points 2)")]
    [InlineData("M3\nG1 X0 Y0 F5", "G1 X0 Y0 F5")]
    [InlineData("M3\nG1 X0 Y0 F5 (points 0)", "G1 X0 Y0 F5 (points 0)")]
    [InlineData("G4 P1 (points 2)", "G4 P1 (points 2)")]
    [InlineData("G4 S1", "G4 S1")]
    [InlineData("M4", "M4")]
    [InlineData("(MSG, M5 turns the beam off: the blank line must then be open)", "(MSG, M5 turns the beam off: the blank line must then be open)")]
    public void Any_other_block_is_refused(string blocks, string found)
    {
        string message = Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes($"%\nG21 G90 G93\nM5\n{blocks}\nM5\nM2\n%\n"), Exposures.Header(12))).Message;
        Assert.Equal($"m:{3 + blocks.Split('\n').Length}: error PC2012: expected a block that this program writes, found \"{found}\"; emit the program again", message);
    }

    [Theory]
    [InlineData("G0 X-0.003072 Y0", true)]
    [InlineData("G0 X-0.0030735 Y0", false)]
    [InlineData("G0 X0 Y-0.0030705", true)]
    [InlineData("G0 X0 Y-0.003072", false)]
    [InlineData("G0 X0.00000075 Y0", false)]
    [InlineData("G0 X0 Y0.00000075", false)]
    [InlineData("G0 X0 Y0\nG4 P0.00000005", false)]
    [InlineData("G0 X0 Y0\nG4 P0.0000001", true)]
    [InlineData("(figure 0)", true)]
    public void Places_are_codes_and_times_are_ticks(string blocks, bool isOfThisMachine)
    {
        byte[] program = Encoding.UTF8.GetBytes($"%\nG21 G90 G93\nM5\n{blocks}\nG4 P0\nM2\n%\n");
        Exception? fault = Record.Exception(() => Read(program, Exposures.Header(12)));
        Assert.Equal(isOfThisMachine, fault is null);
        Assert.True(isOfThisMachine || fault!.Message.Contains("PC2013", StringComparison.Ordinal), fault?.Message);
    }

    [Theory]
    [InlineData("%\nG21 G90 G93\nM5\nM2\n", "m:4: error PC2006: the program stops before its end; emit it again; the stage or copy that wrote it did not finish")]
    [InlineData("%\nG21 G90 G93\nM5\nM2\n%\n%\n", "m:6: error PC2009: something follows the end of the program; give one program at a time")]
    [InlineData("%\nG21 G90 G93\nM3\n", "m:3: error PC2001: expected M5; make the program with patternc emit")]
    [InlineData("%\nG20 G90 G93\nM5\n", "m:2: error PC2001: expected G21 G90 G93; make the program with patternc emit")]
    public void A_program_has_its_start_and_its_end(string text, string expected) => Assert.Equal(
        expected, Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes(text), Exposures.Header(12))).Message);

    [Fact]
    public void A_machine_without_size_and_a_time_beyond_all_bounds_have_no_program()
    {
        RecordsHeader header = Exposures.Header(12);
        const string noSize = "error PC2010: the machine states no distance per code, which a motion program needs; give the machine's field size, or 'motion.volts_per_unit'";
        Assert.Equal(noSize, Assert.Throws<CompileException>(() => Written(header with { NanometresPerCodeX = 0 }, [])).Message);
        Assert.Equal(noSize, Assert.Throws<CompileException>(() => Written(header with { NanometresPerCodeY = 0 }, [])).Message);
        Assert.Equal(
            "error PC2010: a record lasts longer than 100 days",
            Assert.Throws<CompileException>(() => Written(header, [DeflectionRecord.Wait(100_000_000_000_000)])).Message);
    }

    // Words and their meaning: T. Kramer, F. Proctor, E. Messina, The NIST RS274NGC Interpreter, version 3, NISTIR 6556
    // (2000), tables 4 to 7; at most one word of a modal group in a block, blocks of at most 256 characters.
    [Fact]
    public void Only_words_of_the_published_list_occur() => WithSteps(100_000).Sample(
        exposure =>
        {
            foreach (string block in Encoding.UTF8.GetString(Written(exposure.Header, exposure.Items)).Split('\n'))
            {
                Assert.Matches(Block(), block);
                Assert.True(block.Length <= 256);
            }
        },
        iter: Iterations.Usually(30));

    [Fact]
    public void Decoding_what_was_emitted_gives_the_same_exposure() => WithSteps(1_000_000)
        .Sample(
            exposure =>
            {
                var (header, items) = exposure;
                CollectingSink<RecordsHeader, DeflectionRecord> sink = Read(Written(header, items), header);
                Assert.Equal(Exposures.Timeline(header, items), Exposures.Timeline(header, sink.Items));
                Assert.Equal(items.Where(r => r.Kind == RecordKind.Marker), sink.Items.Where(r => r.Kind == RecordKind.Marker));
                Assert.True(sink.HasEnded);
            },
            iter: Iterations.Usually(150));

    [Theory]
    [InlineData("G0 X1\n", "m:1: error PC2001: expected %; make the program with patternc emit")]
    [InlineData("%\nG21 G90 G93\nM5\nG2 X1 Y1\n", "m:4: error PC2012: expected a block that this program writes, found \"G2 X1 Y1\"; emit the program again")]
    [InlineData("%\nG21 G90 G93\nM5\nG0 X9 Y9\n", "m:4: error PC2013: a position is no code of the converter, or a time no whole number of ticks; name the machine file with which the program was made")]
    [InlineData("%\nG21 G90 G93\nM5\nG0 X0 Y0\n", "m:4: error PC2006: the program stops before its end; emit it again; the stage or copy that wrote it did not finish")]
    [InlineData("%\nG21 G90 G93\nM5\nM3\nM2\n%\n", "m:5: error PC2012: the program ends with the beam on; emit it again")]
    [InlineData("%\nG21 G90 G93\nM5\nG1 X0 Y0 F5 (points 2)\nM2\n%\n", "m:4: error PC2012: expected a block that this program writes, found \"G1 X0 Y0 F5 (points 2)\"; emit the program again")]
    public void Faults_name_place_and_remedy(string text, string expected) => Assert.Equal(
        expected, Assert.Throws<CompileException>(() => Read(Encoding.UTF8.GetBytes(text), Exposures.Header(12))).Message);

    private static Gen<(RecordsHeader Header, DeflectionRecord[] Items)> WithSteps(long mostTicks) =>
        Exposures.Any(mostTicks, 50).Where(exposure => Math.Abs(exposure.Header.NanometresPerCodeX) > 1e-3);

    /// <summary>More than any buffer holds: 30,000 points, no two neighbours alike, read back as they were.</summary>
    [Fact]
    public void A_long_exposure_comes_back_whole()
    {
        RecordsHeader header = Exposures.Header(12);
        DeflectionRecord[] items = [DeflectionRecord.Jump(7, 9, 50), .. Enumerable.Range(0, 30_000).Select(i => DeflectionRecord.Dot(i * 7 % 4096, i * 11 % 4096, 1 + i % 13))];
        Assert.Equal(Exposures.Timeline(header, items), Exposures.Timeline(header, Read(Written(header, items), header).Items));
    }

    private static byte[] Written(RecordsHeader header, DeflectionRecord[] items) =>
        Documents.Written<RecordsHeader, DeflectionRecord>(s => new MotionWriter(s), header, items);

    private static CollectingSink<RecordsHeader, DeflectionRecord> Read(byte[] bytes, RecordsHeader header)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        using var stream = new PiecewiseStream(bytes, 11);
        MotionReader.Read(stream, "m", header, sink, default);
        return sink;
    }

    [GeneratedRegex(@"^(%?|G21 G90 G93|M[235]|\((MSG, |scale: |note: |dose: )[ -~]+\)|\(figure \d+\)|G0 X-?[\d.]+ Y-?[\d.]+( \(points \d+\))?|G1 X-?[\d.]+ Y-?[\d.]+ F[\d.]+ \(points \d+\)|G4 P[\d.]+( \(points \d+\))?)$")]
    private static partial Regex Block();
}
