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
        (figure 4)
        G0 X0.00015 Y-0.0000015
        G4 P0.00005
        M3
        G1 X0.0003 Y-0.0000015 F297029.702970297 (points 101)
        G0 X0 Y0
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
        iter: 30);

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
            iter: 150);

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

    private static byte[] Written(RecordsHeader header, DeflectionRecord[] items) =>
        Documents.Written<RecordsHeader, DeflectionRecord>(s => new MotionWriter(s), header, items);

    private static CollectingSink<RecordsHeader, DeflectionRecord> Read(byte[] bytes, RecordsHeader header)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        using var stream = new PiecewiseStream(bytes, 11);
        MotionReader.Read(stream, "m", header, sink, default);
        return sink;
    }

    [GeneratedRegex(@"^(%?|G21 G90 G93|M[235]|\(MSG, [ -~]+\)|\(figure \d+\)|G0 X-?[\d.]+ Y-?[\d.]+( \(points \d+\))?|G1 X-?[\d.]+ Y-?[\d.]+ F[\d.]+ \(points \d+\)|G4 P[\d.]+( \(points \d+\))?)$")]
    private static partial Regex Block();
}
