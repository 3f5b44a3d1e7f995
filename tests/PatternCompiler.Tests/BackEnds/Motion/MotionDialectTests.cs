using System.Text;
using CsCheck;
using PatternCompiler.BackEnds.Motion;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds.Motion;

/// <summary>Motion programs for controllers whose words mean something else than in the published list.</summary>
public sealed class MotionDialectTests
{
    private const string Machine = """
        machine: plain
        dac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}
        deflection: {field: 100 um}
        clock: {rate: 1 MHz, shortest_dwell: 2 ticks, longest_dwell: 1000 ticks}
        blanker: {active: high}
        beam: {current: 100 pA, spot: 20 nm, energy: 30 keV}
        link: {rate: 1 MB/s, buffer: 4 KiB}

        """;

    // A tick is 100 ns, a step of 1 ms 10,000 of them.
    private static readonly DeflectionRecord[] Dots =
    [
        DeflectionRecord.Jump(2048, 2048, 10_001),
        DeflectionRecord.Dot(2048, 2048, 14_000),
        DeflectionRecord.Dot(2049, 2048, 16_000),
        DeflectionRecord.Dot(2049, 2048, 20_000),
        DeflectionRecord.Wait(1),
    ];

    [Fact]
    public void Dwells_are_rounded_and_the_doses_told()
    {
        var sink = new DiagnosticSink();
        string[] lines = Lines(Exposures.Header(12), Dots, new MotionDialect { DwellStepSeconds = 1e-3 }, sink);

        // Up with the beam off; with it on 1.4 ms become 1, 1.6 become 2 (-28.6 % and +25 %); 5 ms are 5.
        Assert.Equal(["G4 P0.002", "G4 P0.001", "G4 P0.002", "G4 P0.002", "G4 P0.001"], lines.Where(line => line.StartsWith("G4", StringComparison.Ordinal)));
        const string told = "2 dwells rounded to whole multiples of 1 ms: doses of single points change by -28.6 % to +25 %, of all dwells together by 0 %";
        Assert.Equal([$"(dose: {told})", "M2", "%", ""], lines[^4..]);
        Assert.Contains("(note: dwells are whole multiples of 0.001 s; what that does to doses stands at the end)", lines);
        Assert.Equal($"warning PC2043: {told}; longer dwells change less: a weaker beam, or points farther apart", Assert.Single(sink.Collected).ToString());
    }

    /// <summary>Steps that no binary number meets, 0.1 to 500 ns and 1 to 999 us: whole multiples stay what they are, and what lies between goes to the nearest, or the next one up with the beam off.</summary>
    [Fact]
    public void Steps_are_whole_picoseconds()
    {
        foreach ((long picoseconds, double seconds) in Enumerable.Range(1, 5000).Select(i => (100L * i, i / 1e10)).Concat(Enumerable.Range(1, 999).Select(i => (1_000_000L * i, i * 1e-6))))
        {
            var rounding = new DwellRounding(seconds);
            Assert.Equal((3 * picoseconds, 7 * picoseconds), (rounding.Of(3 * picoseconds, true), rounding.Of(7 * picoseconds, false)));
            Assert.Equal(0, rounding.Changed);
            Assert.Equal((4 * picoseconds, 3 * picoseconds), (rounding.Of(3 * picoseconds + picoseconds / 2, true), rounding.Of(3 * picoseconds + picoseconds / 2 - 1, true)));
            Assert.Equal(4 * picoseconds, rounding.Of(3 * picoseconds + 1, false));
        }
    }

    /// <summary>What is rounded up is refused where it no longer fits 64 bits, and not before.</summary>
    [Fact]
    public void A_dwell_that_rounding_takes_beyond_all_bounds_is_refused()
    {
        Assert.Equal(long.MaxValue, new DwellRounding(1e-12).Of(long.MaxValue, true));
        long last = long.MaxValue / 1_000_000_000 * 1_000_000_000;
        var rounding = new DwellRounding(1e-3);
        Assert.Equal((last, last), (rounding.Of(last, false), rounding.Of(last, true)));
        Assert.Equal("error PC2010: a record lasts longer than 100 days", Assert.Throws<CompileException>(() => rounding.Of(last + 1, false)).Message);
        Assert.Equal("error PC2010: a record lasts longer than 100 days", Assert.Throws<CompileException>(() => rounding.Of(last + 500_000_000, true)).Message);
    }

    [Fact]
    public void Dwells_that_fit_are_not_told()
    {
        var sink = new DiagnosticSink();
        Assert.DoesNotContain(Lines(Exposures.Header(12), [DeflectionRecord.Jump(1, 2, 5), DeflectionRecord.Dot(1, 2, 20_000)], new MotionDialect { DwellStepSeconds = 1e-3 }, sink), line => line.StartsWith("(dose: ", StringComparison.Ordinal));
        Assert.Empty(sink.Collected);
    }

    [Theory]
    [InlineData(4_999, true)]
    [InlineData(5_000, false)]
    public void A_dwell_that_would_vanish_is_refused(long ticks, bool isRefused)
    {
        Exception? fault = Record.Exception(() => Lines(Exposures.Header(12), [DeflectionRecord.Jump(1, 2, 5), DeflectionRecord.Dot(1, 2, ticks)], new MotionDialect { DwellStepSeconds = 1e-3 }));
        Assert.Equal(
            isRefused ? "error PC2010: a dwell of 499.9 us is less than half of the 1 ms that the controller keeps: the point would get no dose; make dwells longer, with a weaker beam or points farther apart" : null,
            fault?.Message);
    }

    [Theory]
    [InlineData(DwellWord.SecondsP, "G4 P0.0014")]
    [InlineData(DwellWord.MillisecondsP, "G4 P1.4")]
    [InlineData(DwellWord.SecondsS, "G4 S0.0014")]
    public void Dwells_have_the_word_that_the_controller_knows(DwellWord word, string block) =>
        Assert.Contains(block, Lines(Exposures.Header(12), Dots, new MotionDialect { DwellWord = word }));

    [Fact]
    public void Volts_stand_for_millimetres_where_the_machine_says_so()
    {
        string[] lines = Lines(
            Exposures.Header(12) with { NanometresPerCodeX = 0 }, [DeflectionRecord.Jump(0, 3072, 5), DeflectionRecord.Jump(2048, 4095, 5)], new MotionDialect { VoltsPerUnit = 2 });
        Assert.Contains("(scale: 1 unit of X or Y is 2 V at that output)", lines);
        Assert.Contains("G0 X-5 Y2.5", lines);
        Assert.Contains("G0 X0 Y4.997559", lines);
    }

    [Fact]
    public void Other_beam_words_take_the_place_of_both_everywhere()
    {
        string[] lines = Lines(Exposures.Header(12), Dots, new MotionDialect { BeamOn = "M62 P0", BeamOff = "M63 P0" });
        Assert.Equal("M63 P0", lines[2]);
        Assert.Equal("(MSG, M63 P0 turns the beam off: the blank line must then be high)", lines[3]);
        Assert.DoesNotContain(lines, line => line is "M3" or "M5");
    }

    /// <summary>Whatever the exposure and the dialect: no rapid move with the beam on, off at start and end, and the same exposure read back.</summary>
    [Fact]
    public void The_beam_is_off_in_every_rapid_move_and_programs_are_read_back() => (
        from exposure in Exposures.Any(1_000_000, 50).Where(exposure => Math.Abs(exposure.Header.NanometresPerCodeX) > 1e-3)
        from word in Gen.Int[0, 2]
        from volts in Gen.Int[0, 3].Select(i => new[] { 0, 0.5, 1, 7.3 }[i])
        from isOther in Gen.Bool
        select (exposure.Header, exposure.Items, Dialect: new MotionDialect { DwellWord = (DwellWord)word, VoltsPerUnit = volts, BeamOn = isOther ? "M4 S10" : "M3", BeamOff = isOther ? "M9" : "M5" }))
        .Sample(
            sample =>
            {
                (RecordsHeader header, DeflectionRecord[] items, MotionDialect dialect) = sample;
                bool? isOn = null;
                foreach (string line in Lines(header, items, dialect))
                {
                    isOn = line == dialect.BeamOn ? true : line == dialect.BeamOff ? false : isOn;
                    Assert.True(!line.StartsWith("G0", StringComparison.Ordinal) || isOn == false, line);
                    Assert.True(line != "M2" || isOn == false);
                    Assert.True(!line.StartsWith("G1", StringComparison.Ordinal) || isOn == true, line);
                }

                Assert.Equal(Exposures.Timeline(header, items), Exposures.Timeline(header, Read(Written(header, items, dialect), header, dialect)));
            },
            iter: Iterations.Usually(100));

    /// <summary>Rounded dwells come back as rounded, whatever the clock: to the nearest tick.</summary>
    [Fact]
    public void Rounded_dwells_are_read_to_the_nearest_tick()
    {
        RecordsHeader header = Exposures.Header(12) with { ClockHertz = 14_318_180 };
        var dialect = new MotionDialect { DwellStepSeconds = 1e-3 };
        List<DeflectionRecord> read = Read(Written(header, [DeflectionRecord.Jump(5, 6, 100), DeflectionRecord.Dot(5, 6, 30_000), DeflectionRecord.Jump(5, 7, 43_000), DeflectionRecord.Dot(5, 7, 43_000)], dialect), header, dialect);

        // 1, 2, 4 and 3 ms.
        Assert.Equal([DeflectionRecord.Jump(5, 6, 14_318), DeflectionRecord.Dot(5, 6, 28_636), DeflectionRecord.Jump(5, 7, 57_273), DeflectionRecord.Dot(5, 7, 42_955)], read);
    }

    [Fact]
    public void A_program_of_another_scale_or_other_words_is_refused()
    {
        RecordsHeader header = Exposures.Header(12);
        byte[] program = Written(header, Dots, null);
        Assert.Equal(
            "m:5: error PC2013: the program's scale is \"(scale: 1 mm of X or Y is 1 mm on the sample, and at the outputs 3255.20833333 V of X and -3255.20833333 V of Y)\", " +
            "this machine's is \"(scale: 1 unit of X or Y is 1 V at that output)\"; name the machine file with which the program was made",
            Assert.Throws<CompileException>(() => Read(program, header, new MotionDialect { VoltsPerUnit = 1 })).Message);
        Assert.Equal("m:3: error PC2001: expected M9; make the program with patternc emit", Assert.Throws<CompileException>(() => Read(program, header, new MotionDialect { BeamOff = "M9" })).Message);
        Assert.Contains("PC2012", Assert.Throws<CompileException>(() => Read(program, header, new MotionDialect { DwellWord = DwellWord.SecondsS })).Message, StringComparison.Ordinal);
        Assert.Contains("PC2012", Assert.Throws<CompileException>(() => Read(program, header, new MotionDialect { BeamOn = "M4" })).Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("beam_on: M5", "'motion.beam_on' and 'motion.beam_off' are both M5: the beam would never be off; give the word that turns the beam off as 'beam_off'")]
    [InlineData("beam_off: M3", "'motion.beam_on' and 'motion.beam_off' are both M3: the beam would never be off; give the word that turns the beam off as 'beam_off'")]
    [InlineData("beam_on: M2", "'motion.beam_on' must be an M word with at most one P, Q or S word behind it, and neither stop the program nor change the tool, but it is 'M2'; write for example M3, M62 P0 or M3 S1000")]
    [InlineData("beam_on: M3 (x)", "'motion.beam_on' must be an M word with at most one P, Q or S word behind it, and neither stop the program nor change the tool, but it is 'M3 (x)'; write for example M3, M62 P0 or M3 S1000")]
    [InlineData("beam_off: G0", "'motion.beam_off' must be an M word with at most one P, Q or S word behind it, and neither stop the program nor change the tool, but it is 'G0'; write for example M3, M62 P0 or M3 S1000")]
    [InlineData("dwell_step: 2 s", "'motion.dwell_step' must be from 1 ps to 1 s, but it is 2 s; look for a wrong unit")]
    [InlineData("volts_per_unit: 0 V", "'motion.volts_per_unit' must be above zero, but it is 0 V")]
    public void Sections_that_cannot_be_are_refused(string key, string message) => Assert.EndsWith(
        ": " + message, Assert.Throws<CompileException>(() => MachineFile.Parse(Machine + $"motion: {{{key}}}\n", "m.yaml")).Message.Split('\n')[0], StringComparison.Ordinal);

    private static string[] Lines(RecordsHeader header, DeflectionRecord[] items, MotionDialect? dialect, DiagnosticSink? sink = null) =>
        Encoding.ASCII.GetString(Documents.Written<RecordsHeader, DeflectionRecord>(s => new MotionWriter(s, dialect, sink), header, items)).Split('\n');

    private static byte[] Written(RecordsHeader header, DeflectionRecord[] items, MotionDialect? dialect) =>
        Documents.Written<RecordsHeader, DeflectionRecord>(s => new MotionWriter(s, dialect), header, items);

    private static List<DeflectionRecord> Read(byte[] program, RecordsHeader header, MotionDialect dialect)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        MotionReader.Read(new MemoryStream(program), "m", header, sink, default, dialect);
        Assert.True(sink.HasEnded);
        return sink.Items;
    }
}
