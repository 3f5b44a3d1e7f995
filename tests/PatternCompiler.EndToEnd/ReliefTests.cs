using System.Text.Json;

namespace PatternCompiler.EndToEnd;

/// <summary>Wanted heights from the drawing to the bytes, and back to what remains.</summary>
public sealed class ReliefTests
{
    private const string Process = """
        process: a resist of low contrast
        dose: {area: 500 uC/cm2, line: 2 nC/cm, dot: 20 fC}
        resist: {tone: positive, onset: 100 uC/cm2, clearing: 250 uC/cm2, thickness: 400 nm}
        spread: {forward: 59 nm, backscatter: 4 um, ratio: 0.74}

        """;

    private const string Job = """
        job: steps
        process: process.yaml
        sources: [steps.layout]
        correct: {tolerance: 1 %}
        fill: {strategy: raster, line_pitch: 12 codes, point_step: 12 codes}
        layers: [{layer: relief, values: heights}]
        outputs: [{file: steps.stream, format: stream}]

        """;

    private const string Steps = """
        layout 1
        unit um
        layer relief
        rect on relief from (-4, -4) to (0, 4) dose 0.75
        rect on relief from (0, -4) to (4, 4) dose 0.25

        """;

    [Fact]
    public void Steps_come_out_as_high_as_drawn_from_a_chain_of_commands_as_from_a_build()
    {
        using WorkFolder folder = Folder();
        folder.Run("build", "job.yaml", "-q").Expect(0);
        Executable.Shell(
            folder.Path,
            "set -o pipefail; patternc parse steps.layout --job job.yaml | patternc fracture --job job.yaml | patternc correct --job job.yaml -q | patternc fill --job job.yaml -q | patternc scale --job job.yaml -q | patternc emit --job job.yaml -q > chain.stream").Expect(0);
        Assert.Equal(File.ReadAllBytes(folder["steps.stream"]), File.ReadAllBytes(folder["chain.stream"]));

        Outcome report = folder.Run("simulate", "steps.stream", "--job", "job.yaml", "--against", "steps.layout", "--pixel", "10 nm", "--json", "--height-limit", "0.04").Expect(0);
        JsonElement[] heights = [.. JsonDocument.Parse(report.Output).RootElement.GetProperty("heights").EnumerateArray()];
        Assert.Equal([0.25, 0.75], heights.Select(height => height.GetProperty("wanted").GetDouble()));
        Assert.All(heights, height => Assert.Equal(height.GetProperty("wanted").GetDouble(), height.GetProperty("mean").GetDouble(), 0.005));
    }

    [Fact]
    public void Heights_that_are_missed_are_told_and_a_violation()
    {
        using WorkFolder folder = Folder();
        folder.With("job.yaml", Job.Replace("correct: {tolerance: 1 %}\n", "", StringComparison.Ordinal));
        Outcome built = folder.Run("build", "job.yaml").Expect(0);
        Assert.Contains(
            "warning PC1693: layer 'relief' holds heights, and doses are not corrected for scattered electrons: they hold in the middle of large areas only; add 'correct: {}' to the job\n",
            built.Errors,
            StringComparison.Ordinal);
        Outcome judged = folder.Run("simulate", "steps.stream", "--job", "job.yaml", "--against", "steps.layout", "--pixel", "10 nm", "--height-limit", "0.04", "-q");
        Assert.Equal(3, judged.ExitCode);
        Assert.Contains("error PC0014: the worst height is off by 0.", judged.Errors, StringComparison.Ordinal);
        Assert.Contains("of the film, the limit is 0.04; see the report, and --thickness for a map\n", judged.Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void A_limit_of_heights_without_heights_is_a_wrong_command_line()
    {
        using WorkFolder folder = Folder();
        folder.Run("build", "job.yaml", "-q").Expect(0);
        Outcome refused = folder.Run("simulate", "steps.stream", "--job", "job.yaml", "--pixel", "20 nm", "--height-limit", "0.04", "-q");
        Assert.Equal(2, refused.ExitCode);
        Assert.Contains("--height-limit judges heights, and none are wanted; name the drawing with --against, and in the job the layers with 'values: heights'\n", refused.Errors, StringComparison.Ordinal);
    }

    private static WorkFolder Folder() => new WorkFolder().With("process.yaml", Process).With("job.yaml", Job).With("steps.layout", Steps);
}
