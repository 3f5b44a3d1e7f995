namespace PatternCompiler.EndToEnd;

/// <summary>Motion programs for the controller that the machine file describes, and the note that goes with sound files.</summary>
public sealed class MotionProgramTests
{
    private const string Records =
        "records 1\nmachine \"plain\"\nbits 16\nrange -10 10 V\ncoding offset-binary\nfull-scale one-beyond-last-code\nclock 10000000 Hz\ndwell 2 1000 ticks\nstep 1.52587890625 1.52587890625 nm\naxes straight\nblank high\n" +
        "jump 32768 32768 500\ndot 32768 32768 20\ndot 32770 32768 25\njump 0 65535 900\ndot 0 65535 30\nend 5 3 1475\n";

    private const string Machine = """
        machine: plain
        dac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}
        deflection: {field: 100 um}
        clock: {rate: 10 MHz, shortest_dwell: 2 ticks, longest_dwell: 1000 ticks}
        blanker: {active: high}
        beam: {current: 100 pA, spot: 20 nm, energy: 30 keV}
        link: {rate: 1 MB/s, buffer: 4 KiB}

        """;

    private static WorkFolder Folder(string motion) => new WorkFolder().With("a.records", Records).With("m.yaml", Machine + motion);

    [Fact]
    public void The_machine_file_says_what_words_mean_and_emit_what_became_of_doses()
    {
        using WorkFolder folder = Folder("motion: {volts_per_unit: 1 V, dwell_step: 2 us, dwell_word: P milliseconds, beam_on: M62 P0, beam_off: M63 P0}\n");
        Outcome outcome = folder.Run("emit", "a.records", "--machine", "m.yaml", "--format", "gcode", "-o", "a.gcode").Expect(0);
        const string doses = "2 dwells rounded to whole multiples of 2 us: doses of single points change by -20 % to +33.3 %, of all dwells together by +6.67 %";
        Assert.Equal($"warning PC2043: {doses}; longer dwells change less: a weaker beam, or points farther apart\n", outcome.Errors);
        string program = File.ReadAllText(folder["a.gcode"]);
        Assert.Contains("\nM63 P0\n(MSG, M63 P0 turns the beam off: the blank line must then be high)\n(scale: 1 unit of X or Y is 1 V at that output)\n", program, StringComparison.Ordinal);
        Assert.EndsWith($"\nG0 X-10 Y9.9996948\nG4 P0.09\nM62 P0\nG4 P0.004\nM63 P0\n(dose: {doses})\nM2\n%\n", program, StringComparison.Ordinal);

        // Read back as the controller keeps it: 20, 20 and 40 ticks in place of 20, 25 and 30.
        string read = folder.Run("decode", "a.gcode", "--format", "gcode", "--machine", "m.yaml", "-q").Expect(0).Output;
        Assert.EndsWith("jump 32768 32768 500\ndot 32768 32768 20\ndot 32770 32768 20\njump 0 65535 900\ndot 0 65535 40\nend 5 3 1480\n", read, StringComparison.Ordinal);
    }

    [Fact]
    public void A_program_of_another_scale_and_a_section_that_cannot_be_are_refused()
    {
        using WorkFolder folder = Folder("").With("volts.yaml", Machine + "motion: {volts_per_unit: 1 V}\n").With("same.yaml", Machine + "motion: {beam_on: M5}\n");
        Assert.Empty(folder.Run("emit", "a.records", "--machine", "m.yaml", "--format", "gcode", "-o", "a.gcode").Expect(0).Errors);
        Assert.StartsWith("a.gcode:5: error PC2013: the program's scale is ", folder.Run("decode", "a.gcode", "--format", "gcode", "--machine", "volts.yaml").Expect(1).Errors, StringComparison.Ordinal);
        Assert.Contains("the beam would never be off", folder.Run("emit", "a.records", "--machine", "same.yaml", "--format", "gcode", "-o", "b.gcode").Expect(1).Errors, StringComparison.Ordinal);
        Assert.DoesNotContain("b.gcode", folder.Entries);
    }

    [Fact]
    public void A_sound_file_comes_with_a_note_on_coupling()
    {
        using WorkFolder folder = Folder("");
        Assert.Equal(
            "note PC2044: X, Y and blank of a sound file are levels that last: the player's outputs have to be DC coupled\n",
            folder.Run("emit", "a.records", "--machine", "m.yaml", "-o", "a.wav", "--format", "wav").Expect(0).Errors);
        Assert.Empty(folder.Run("emit", "a.records", "--machine", "m.yaml", "-o", "b.wav", "--format", "wav", "-q").Expect(0).Errors);
        Assert.Equal(folder.Read("a.wav"), folder.Read("b.wav"));
    }
}
