namespace PatternCompiler.EndToEnd;

/// <summary>Two machines that differ in nothing but the level of their blank line, from the drawing to every output and back.</summary>
public sealed class BlankLevelTests
{
    private static readonly string[] Formats = ["stream", "words", "volts", "wav", "npy", "gcode", "vcd", "records"];

    [Fact]
    public void Outputs_of_machines_of_both_levels_differ_and_are_read_back_as_the_same_exposure()
    {
        using WorkFolder folder = Built();
        foreach (string format in Formats)
        {
            Assert.NotEqual(folder.Read($"high.{format}"), folder.Read($"low.{format}"));
            Assert.Equal(folder.Read($"high.{format}").Length, folder.Read($"low.{format}").Length + (format is "gcode" or "records" or "vcd" ? 1 : 0));
            string high = Decoded(folder, format, "high", "high");
            Assert.Equal(high.Replace("\nblank high\n", "\nblank low\n", StringComparison.Ordinal), Decoded(folder, format, "low", "low"));
            Assert.Contains("\nblank high\n", high, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("words", "high.words: error PC2042: the last word ends with the beam on; name the machine file with which it was made, or emit it again if it was cut short\n")]
    [InlineData("wav", "high.wav: error PC2042: the sound file ends with the beam on; name the machine file with which it was made, or emit it again if it was cut short\n")]
    [InlineData("npy", "high.npy (byte 192): error PC2041: row 0 is for a blank line that is high with the beam off, and the machine has a blank line that is low with the beam off; name the machine file with which it was made\n")]
    [InlineData("volts", "high.volts:2: error PC2041: the row is for a blank line that is high with the beam off, and the machine has a blank line that is low with the beam off; name the machine file with which it was made\n")]
    [InlineData("vcd", "high.vcd:4: error PC2041: the dump is for a blank line that is high with the beam off, and the machine has a blank line that is low with the beam off; name the machine file with which it was made\n")]
    [InlineData("gcode", "high.gcode:4: error PC2041: the program is for a blank line that is high with the beam off, and the machine has a blank line that is low with the beam off; name the machine file with which it was made\n")]
    public void What_is_for_the_other_level_is_not_decoded(string format, string expected)
    {
        using WorkFolder folder = Built();
        Assert.Equal(expected, folder.Run("decode", $"high.{format}", "--format", format, "--machine", "machine-low.yaml", "-q", "-o", "x").Expect(1).Errors);
        Assert.DoesNotContain("x", folder.Entries);
    }

    [Fact]
    public void Records_are_emitted_for_the_level_that_they_state_and_for_no_other()
    {
        using WorkFolder folder = Built();
        Assert.Equal(folder.Read("low.volts"), folder.Run("emit", "low.records", "--format", "volts", "-q").Expect(0).OutputBytes);
        Assert.Equal(folder.Read("low.volts"), folder.Run("emit", "low.records", "--format", "volts", "-q", "--machine", "machine-low.yaml").Expect(0).OutputBytes);
        Assert.Equal(
            "low.records: error PC2041: the records are for a blank line that is low with the beam off, and the machine has a blank line that is high with the beam off; name the machine file with which it was made\n",
            folder.Run("emit", "low.records", "--format", "volts", "-q", "--machine", "machine-high.yaml").Expect(1).Errors);
    }

    // Records of older versions, and what old streams are decoded to.
    [Fact]
    public void Records_that_state_no_level_take_that_of_a_machine_and_else_go_only_where_it_stays_open()
    {
        using WorkFolder folder = Built();
        string text = System.Text.Encoding.UTF8.GetString(folder.Read("low.records")).Replace("\nblank low\n", "\n", StringComparison.Ordinal);
        folder.With("old.records", text);
        Assert.Equal(folder.Read("low.wav"), Emitted(folder, "wav", "--machine", "machine-low.yaml"));
        Assert.Equal(folder.Read("low.stream"), Emitted(folder, "stream", "--machine", "machine-low.yaml"));
        Assert.Equal(text, folder.Pipe(Emitted(folder, "stream"), "decode", "-q").Expect(0).Output);
        Assert.Equal(
            "error PC2040: the records do not say which level of the blank line turns the beam off, and this output holds the line; name the machine file with --machine, or make the records again with patternc scale\n",
            folder.Run("emit", "old.records", "--format", "wav", "-q", "-o", "x").Expect(1).Errors);
        Assert.DoesNotContain("x", folder.Entries);
    }

    [Fact]
    public void A_second_key_for_the_level_is_an_error()
    {
        using WorkFolder folder = Built();
        folder.With("second.yaml", Machine("low") + "words: {word_bits: 16, fields: [x 16, y 16, dwell 16, blank 16], byte_order: least significant first, blank: high}\n");
        Assert.StartsWith(
            "second.yaml:9:110: error PC0140: 'words.blank' would state the level of the blank line a second time; remove it; 'blanker.active' holds for every output\n",
            folder.Run("emit", "low.records", "--format", "words", "--machine", "second.yaml", "-q", "-o", "x").Expect(1).Errors,
            StringComparison.Ordinal);
    }

    private static byte[] Emitted(WorkFolder folder, string format, params string[] more)
    {
        folder.Run(["emit", "old.records", "--format", format, "-q", "-o", "emitted", .. more]).Expect(0);
        return folder.Read("emitted");
    }

    private static string Decoded(WorkFolder folder, string format, string built, string machine) =>
        folder.Run("decode", $"{built}.{format}", "--format", format, "--machine", $"machine-{machine}.yaml", "-q").Expect(0).Output;

    private static WorkFolder Built()
    {
        WorkFolder folder = new WorkFolder()
            .With("p.layout", "layout 1\nunit um\ngrid 0.1 nm\nlayer a\nrect on a at (10,20) size (0.4,0.2)\n")
            .With("machine-high.yaml", Machine("high"))
            .With("machine-low.yaml", Machine("low"));
        foreach (string level in new[] { "high", "low" })
        {
            folder.With(
                $"job-{level}.yaml",
                $"job: p\nmachine: machine-{level}.yaml\nsources: [p.layout]\nfill: {{line_pitch: 20 nm, point_step: 20 nm}}\noutputs:\n"
                + string.Concat(Formats.Select(format => $"  - {{file: {level}.{format}, format: {format}}}\n")));
            folder.Run("build", $"job-{level}.yaml", "-q").Expect(0);
        }

        return folder;
    }

    private static string Machine(string active) => $$"""
        machine: t
        dac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}
        deflection: {field: 100 um, swap_axes: no}
        settle: {fixed: 15 us, time_constant: 0 s}
        clock: {rate: 1 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}
        blanker: {active: {{active}}, off_delay: 0 us, on_delay: 0 us}
        beam: {current: 200 pA, spot: 20 nm, energy: 30 keV}
        link: {rate: 8 MB/s, buffer: 64 KiB}

        """;
}
