namespace PatternCompiler.EndToEnd;

public sealed class BuildTests
{
    [Theory]
    [InlineData("job.yaml", "out/humidity-sensor.stream", "")]
    [InlineData("job-12bit.yaml", "out/humidity-sensor-12bit.stream", "")]
    [InlineData("job-corrected.yaml", "out/humidity-sensor-corrected.stream", "| patternc correct --job chip/job-corrected.yaml")]
    public void A_chain_of_single_stages_gives_the_bytes_of_the_build(string job, string stream, string correct)
    {
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples/humidity-sensor", "chip");
        folder.Run("build", $"chip/{job}", "--keep", "kept").Expect(0);
        string options = $"--job chip/{job}";
        Executable.Shell(
            folder.Path,
            $"set -o pipefail; patternc parse {options} | tee a.layout | patternc fracture {options} {correct} | tee a.figures | patternc fill {options} | tee a.strokes "
            + $"| patternc scale {options} | tee a.records | patternc emit {options} > a.stream").Expect(0);
        Assert.Equal(folder.Read($"chip/{stream}"), folder.Read("a.stream"));
        foreach (string document in new[] { "layout", "figures", "strokes", "records" })
        {
            Assert.Equal(folder.Read($"kept/humidity-sensor.{document}"), folder.Read($"a.{document}"));
        }
    }

    [Fact]
    public void The_chain_holds_with_every_stage_that_a_job_can_ask_for()
    {
        const string Job = """
            job: everything
            sources: [{file: a.layout, layers: [pads, wires], offset: [1 um, -2 um], rotate: 90 deg}]
            position: centred
            correct: {target: average, dose_classes: 8}
            fill: {strategy: raster, line_pitch: 9 codes, point_step: 7 codes, passes: 2}
            layers: [{layer: wires, dose_factor: 1.5}, {layer: pads, fill: {strategy: one-way lines, line_pitch: 17 nm}}]
            markers: yes
            outputs: [{file: a.stream, format: stream}]
            """;
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout).With("job.yaml", Job);
        folder.Run("build", "job.yaml").Expect(0);
        Executable.Shell(
            folder.Path,
            "set -o pipefail; patternc parse --job job.yaml | patternc fracture --job job.yaml | patternc correct --job job.yaml "
            + "| patternc fill --job job.yaml | patternc scale --job job.yaml | patternc emit --job job.yaml > chain.stream").Expect(0);
        Assert.Equal(folder.Read("a.stream"), folder.Read("chain.stream"));
    }

    [Fact]
    public void Compact_documents_give_the_same_stream()
    {
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples/humidity-sensor", "chip");
        folder.Run("build", "chip/job.yaml").Expect(0);
        Executable.Shell(
            folder.Path,
            "cd chip; set -o pipefail; patternc parse --job job.yaml | patternc fracture --job job.yaml --binary | patternc fill --job job.yaml --binary "
            + "| patternc scale --job job.yaml --binary | patternc emit --job job.yaml > a.stream").Expect(0);
        Assert.Equal(folder.Read("chip/out/humidity-sensor.stream"), folder.Read("chip/a.stream"));
    }

    [Fact]
    public void A_drawing_alone_is_built_with_the_built_in_settings_and_says_so()
    {
        using WorkFolder folder = new WorkFolder().With("square.dxf", Patterns.Dxf);
        Outcome outcome = folder.Run("build", "square.dxf").Expect(0);
        Assert.Equal(["square.dxf", "square.stream"], folder.Entries);
        Assert.Empty(outcome.OutputBytes);
        Assert.Equal(
            """
            square.dxf:40: warning PC0385: not exposed: 1 TEXT on layer NOTES (text is not read as strokes); fix it in the drawing, or choose layers without it
            square.dxf: note PC0323: read with 1 drawing unit = 1 um: the drawing is 4 × 4 um
            square: 1 figure, 4 um x 4 um, 200 strokes, 80 001 points
            write time 480.1 ms: exposing 480 ms, moving and waiting 61.5 us; charge 48 pC
            wrote square.stream (stream, 4.749 kB)
            note PC0013: used the built-in machine 'built-in microscope, 16 bit' and process 'positive PMMA on silicon, 30 kV'; 'patternc init' writes them as files to change

            """,
            outcome.Errors);
        folder.Run("preview", "square.stream", "-o", "square.png").Expect(0);
        Assert.Equal([0x89, (byte)'P', (byte)'N', (byte)'G'], folder.Read("square.png")[..4]);
    }

    [Fact]
    public void A_job_may_come_from_standard_input()
    {
        using WorkFolder folder = new WorkFolder().With("square.dxf", Patterns.Dxf);
        byte[] job = "job: piped\nsources: [square.dxf]\noutputs:\n  - {file: out/a.stream, format: stream}\n"u8.ToArray();
        Outcome outcome = folder.Pipe(job, "build", "-").Expect(0);
        Assert.Contains("wrote out/a.stream", outcome.Errors, StringComparison.Ordinal);
        folder.Run("build", "square.dxf").Expect(0);
        Assert.Equal(folder.Read("square.stream"), folder.Read("out/a.stream"));
    }

    [Fact]
    public void A_drawing_may_come_from_standard_input()
    {
        using WorkFolder folder = new WorkFolder().With("square.dxf", Patterns.Dxf);
        folder.Run("build", "square.dxf").Expect(0);
        Outcome piped = folder.Pipe(Patterns.Dxf, "build", "-o", "-", "-q").Expect(0);
        Assert.Equal(folder.Read("square.stream"), piped.OutputBytes);
        Assert.DoesNotContain("note", piped.Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void Printed_defaults_give_what_the_built_in_ones_give()
    {
        using WorkFolder folder = new WorkFolder().With("square.dxf", Patterns.Dxf);
        folder.Run("build", "square.dxf").Expect(0);
        Executable.Shell(folder.Path, "for f in machine process job; do patternc build --print-defaults $f > $f.yaml; done").Expect(0);
        folder.Run("build", "square.dxf", "--machine", "machine.yaml", "--process", "process.yaml", "--job", "job.yaml", "-o", "again.stream").Expect(0);
        Assert.Equal(folder.Read("square.stream"), folder.Read("again.stream"));
    }

    [Fact]
    public void Init_then_build_works_at_once()
    {
        using WorkFolder folder = new WorkFolder().With("chip/drawing.dxf", Patterns.Dxf);
        folder.Run("init", "chip").Expect(0);
        folder.Run("build", "chip/job.yaml").Expect(0);
        Assert.Contains("chip/out/drawing.stream", folder.Entries);
    }

    [Fact]
    public void Two_builds_give_the_same_bytes()
    {
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples/humidity-sensor", "chip");
        folder.Run("build", "chip/job.yaml").Expect(0);
        byte[] first = folder.Read("chip/out/humidity-sensor.stream");
        var environment = new Dictionary<string, string?> { ["LC_ALL"] = "de_DE.UTF-8", ["DOTNET_PROCESSOR_COUNT"] = "1" };
        Executable.Run(folder.Path, ["build", "chip/job.yaml"], environment: environment).Expect(0);
        Assert.Equal(first, folder.Read("chip/out/humidity-sensor.stream"));
    }
}
