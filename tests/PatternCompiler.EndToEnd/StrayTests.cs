using System.Text.Json;

namespace PatternCompiler.EndToEnd;

public sealed class StrayTests
{
    private const string Machine = """
        machine: no blanker
        dac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}
        deflection: {field: 50 um}
        settle: {fixed: 20 us, time_constant: 20 us, slew: 3 nm/us}
        clock: {rate: 10 MHz, shortest_dwell: 5 ticks, longest_dwell: 65535 ticks}
        blanker: none
        beam: {current: 1 nA, spot: 20 nm, energy: 30 keV}
        link: {rate: 8 MB/s, buffer: 64 KiB}

        """;

    private const string Job = "job: two\nmachine: m.yaml\nsources: [a.layout]\nfill: {line_pitch: 40 nm, point_step: 40 nm}\noutputs: [{file: a.stream, format: stream}]\n";

    private static WorkFolder Folder() => new WorkFolder()
        .With("m.yaml", Machine)
        .With("job.yaml", Job)
        .With("a.layout", "layout 1\nunit um\ngrid 1 nm\nlayer a\nrect on a from (-6, -1) to (-4, 1)\nrect on a from (4, -1) to (6, 1)\n");

    [Fact]
    public void A_strict_build_lists_the_lines_that_would_print_and_leaves_no_output()
    {
        using WorkFolder folder = Folder();
        Outcome refused = folder.Run("build", "job.yaml", "--strict").Expect(3);
        Assert.Matches(@"warning PC3026: figure 0 to figure 1 from \(-?[\d.]+, -?[\d.]+\) um to \(-?[\d.]+, -?[\d.]+\) um: [\d.]+ um long, [\d.]+ nm wide, [\d.]+ uC/cm2\n", refused.Errors);
        Assert.Matches(@"error PC3025: \d of \d jumps would print a line, [\d.]+ um in all, [\d.]+ um of it around the pattern; the worst is .* because there is no blanker; ", refused.Errors);
        Assert.DoesNotContain("a.stream", folder.Entries);
        folder.With("job.yaml", Job + "strict: yes\n").Run("build", "job.yaml").Expect(3);
        Outcome estimated = folder.Run("estimate", "a.layout", "--job", "job.yaml", "-o", "a.txt").Expect(3);
        Assert.Contains("warning PC3025: ", estimated.Errors, StringComparison.Ordinal);
        Assert.Contains("error PC0085: what is written would not be what is drawn: 1 warning of a loss (PC3025), which strictness forbids; ", estimated.Errors, StringComparison.Ordinal);
        Assert.DoesNotContain("a.txt", folder.Entries);
        folder.With("job.yaml", Job).Run("build", "job.yaml").Expect(0);
        Assert.Contains("a.stream", folder.Entries);
    }

    /// <summary>A leak that is out of focus draws no line; where it adds up to the onset, a strict build says so and leaves no output.</summary>
    [Theory]
    [InlineData("0.01 %", 0)]
    [InlineData("100 %", 3)]
    public void A_fog_that_prints_is_refused_strictly(string leak, int code)
    {
        using WorkFolder folder = Folder().With(
            "m.yaml", Machine.Replace("blanker: none", $"blanker: {{active: high, leak: {leak}, leak_spot: 1 um}}", StringComparison.Ordinal).Replace("slew: 3 nm/us", "slew: 0.02 nm/us", StringComparison.Ordinal));
        Outcome built = folder.Run("build", "job.yaml", "--strict").Expect(code);
        Assert.Equal(code != 0, built.Errors.Contains("error PC3029: what the blanker leaks out of focus leaves up to ", StringComparison.Ordinal));
        Assert.DoesNotContain("PC3025", built.Errors, StringComparison.Ordinal);
        Assert.Equal(code == 0, folder.Entries.Contains("a.stream"));
        Assert.Contains("fog of the leak", folder.Run("estimate", "a.layout", "--job", "job.yaml").Expect(0).Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Estimate_lists_stray_lines_with_their_figures()
    {
        using WorkFolder folder = Folder();
        Assert.Contains("figure 0 to figure 1 from (", folder.Run("estimate", "a.layout", "--job", "job.yaml").Expect(0).Output, StringComparison.Ordinal);
        using JsonDocument json = JsonDocument.Parse(folder.Run("estimate", "a.layout", "--job", "job.yaml", "--json").Expect(0).Output);
        JsonElement strays = json.RootElement.GetProperty("strays");
        Assert.False(strays.GetProperty("judgedAlone").GetBoolean());
        JsonElement worst = strays.GetProperty("worst").EnumerateArray().Single(
            jump => (jump.GetProperty("fromFigure").GetInt32(), jump.GetProperty("toFigure").GetInt32()) == (0, 1));

        // Between the squares, 8 um apart, and over most of the gap.
        Assert.InRange(worst.GetProperty("printedNanometres").GetDouble(), 7000, 9000);
    }

    /// <summary>The example's promise: nothing prints, in the build and in its stream, where straight jumps would bridge the combs.</summary>
    [Fact]
    public void The_example_without_a_blanker_prints_no_stray_line()
    {
        using var folder = new WorkFolder();
        foreach (string file in new[] { "sensor.layout", "machine.yaml", "process.yaml", "job.yaml" })
        {
            folder.With(file, File.ReadAllText(Path.Combine(Repository.Root, "examples", "no-blanker", file)));
        }

        Outcome built = folder.Run("build", "job.yaml").Expect(0);
        Assert.Matches(@"note PC1303: jumps led around: none of \d+ would print; led straight, 9 of 18 would print 9.9 um, with up to 180 uC/cm2\n", built.Errors);
        using JsonDocument json = JsonDocument.Parse(folder.Run("estimate", "out/sensor.stream", "--job", "job.yaml", "--json").Expect(0).Output);
        Assert.Equal(0, json.RootElement.GetProperty("strays").GetProperty("printingJumps").GetInt32());
        byte[] stream = folder.Read("out/sensor.stream");
        folder.Run("build", "job.yaml", "--travel", "straight").Expect(3);
        Assert.Equal(stream, folder.Read("out/sensor.stream"));

        // A chain of single stages leads jumps around just the same.
        Outcome chain = Executable.Shell(
            folder.Path,
            "set -o pipefail; patternc fracture sensor.layout | patternc fill --job job.yaml --binary | patternc scale --job job.yaml --binary | patternc emit --job job.yaml").Expect(0);
        Assert.Equal(stream, chain.OutputBytes);
    }

    [Fact]
    public void Preview_marks_the_lines_that_would_print()
    {
        using WorkFolder folder = Folder();
        folder.Run("build", "job.yaml", "-q").Expect(0);
        string marked = folder.Run("preview", "a.stream", "--strays", "--job", "job.yaml", "--format", "svg").Expect(0).Output;

        // Nothing else is drawn with so strong a line.
        const string Alarm = "stroke-width=\"2.6\"";
        Assert.Contains(Alarm, marked, StringComparison.Ordinal);
        Assert.DoesNotContain(Alarm, folder.Run("preview", "a.stream", "--format", "svg").Expect(0).Output, StringComparison.Ordinal);
    }
}
