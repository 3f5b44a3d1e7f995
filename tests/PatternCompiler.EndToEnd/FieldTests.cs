using System.Text.RegularExpressions;

namespace PatternCompiler.EndToEnd;

public sealed class FieldTests
{
    private const string Layout = """
        layout 1
        unit um
        layer bars
        rect on bars from (-60, 0) to (60, 2)
        rect on bars from (-58, 4) to (-57, 9)
        polygon on bars (-20, 4) (55, 4.5) (50, 12)
        line on bars (-55, -3) (55, -3)
        dot on bars at (0, -5)

        """;

    private const string Job = """
        job: long
        machine: machine.yaml
        sources: [a.layout]
        correct: {target: average, dose_classes: 8}
        fill: {line_pitch: 20 nm, point_step: 20 nm}
        fields:
          size: 50 um
          margin: 6 um
          seam: taper
          seam_width: 1 um
          taper_steps: 2
          marks: {layer: crosses, written: first, at: [[-22 um, 22 um]], size: 2 um, bar: 200 nm}
        markers: yes
        outputs:
          - {file: out/a.stream, format: stream}

        """;

    private static WorkFolder Folder()
    {
        WorkFolder folder = new WorkFolder().With("a.layout", Layout).With("job.yaml", Job);
        Executable.Shell(
            folder.Path,
            "(patternc build --print-defaults machine | sed 's/current: 100 pA/current: 40 pA/'; echo 'stage: {speed: 100 um/s, settle: 2 s}') > machine.yaml").Expect(0);
        return folder;
    }

    [Fact]
    public void A_chain_gives_every_field_the_bytes_of_the_build()
    {
        using WorkFolder folder = Folder();
        folder.Run("build", "job.yaml").Expect(0);
        string[] fields = ["r01c01", "r01c02", "r01c03"];
        Assert.Equal([.. fields.Select(field => $"out/a-{field}.stream").Prepend("out/a-fields.yaml")], folder.Entries.Where(entry => entry.StartsWith("out/", StringComparison.Ordinal)));
        Executable.Shell(
            folder.Path,
            "set -o pipefail; patternc parse --job job.yaml | patternc fracture --job job.yaml | patternc correct --job job.yaml > whole.figures").Expect(0);
        foreach (string field in fields)
        {
            Executable.Shell(
                folder.Path,
                $"set -o pipefail; patternc split whole.figures --job job.yaml --field {field} | patternc fill --job job.yaml | patternc scale --job job.yaml | patternc emit --job job.yaml > chain.stream").Expect(0);
            Assert.Equal(folder.Read($"out/a-{field}.stream"), folder.Read("chain.stream"));
        }
    }

    [Fact]
    public void Split_writes_the_same_figures_beside_its_manifest()
    {
        using WorkFolder folder = Folder();
        Executable.Shell(folder.Path, "patternc parse --job job.yaml | patternc fracture --job job.yaml > whole.figures").Expect(0);
        folder.Run("split", "whole.figures", "--job", "job.yaml", "-o", "parts/a-fields.yaml").Expect(0);
        byte[] alone = folder.Run("split", "whole.figures", "--job", "job.yaml", "--field", "r01c02").Expect(0).OutputBytes;
        Assert.Equal(alone, folder.Read("parts/a-r01c02.figures"));
        folder.Run("preview", "parts/a-fields.yaml", "-o", "plan.png").Expect(0);
        Assert.Equal([0x89, (byte)'P', (byte)'N', (byte)'G'], folder.Read("plan.png")[..4]);
        string svg = folder.Run("preview", "parts/a-fields.yaml", "--format", "svg").Expect(0).Output;
        Assert.Contains("3 write fields", svg, StringComparison.Ordinal);
    }

    [Fact]
    public void The_manifest_can_be_checked_with_sha256sum()
    {
        using WorkFolder folder = Folder();
        folder.Run("build", "job.yaml").Expect(0);
        Executable.Shell(
            folder.Path,
            """cd out; sed -n 's/.*file: "\(.*\)", content.*sha256: "\(.*\)".*/\2  \1/p' a-fields.yaml | sha256sum --check --strict""").Expect(0);
    }

    [Fact]
    public void An_estimate_counts_the_moves_of_the_stage()
    {
        using WorkFolder folder = Folder();
        Outcome text = folder.Run("estimate", "a.layout", "--job", "job.yaml").Expect(0);

        // Three fields, 44 um apart: two moves of 2.44 s.
        Assert.Contains("\nstage                 4.88 s of the write time for 3 write fields\n", text.Output, StringComparison.Ordinal);
        Outcome json = folder.Run("estimate", "a.layout", "--job", "job.yaml", "--json").Expect(0);
        Assert.Contains("\"stageSeconds\": 4.88", json.Output, StringComparison.Ordinal);
        Outcome built = folder.Run("build", "job.yaml").Expect(0);
        string written = Regex.Match(built.Errors, "write time ([^:]*):").Groups[1].Value;
        Assert.Contains($"write time            {written} ", text.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Wrong_use_is_told()
    {
        using WorkFolder folder = Folder();
        Executable.Shell(folder.Path, "patternc parse --job job.yaml | patternc fracture --job job.yaml > whole.figures").Expect(0);
        Assert.Contains(
            "patternc split: error PC0001: the fields are several documents, which cannot all go to standard output; name the manifest with -o FILE, or one field with --field NAME\n",
            folder.Run("split", "whole.figures", "--job", "job.yaml").Expect(2).Errors,
            StringComparison.Ordinal);
        Assert.Contains(
            "error PC1705: there is no write field 'r09c01'; there are r01c01, r01c02, r01c03\n",
            folder.Run("split", "whole.figures", "--job", "job.yaml", "--field", "r09c01").Expect(1).Errors,
            StringComparison.Ordinal);
        Assert.Contains(
            "error PC0113: the job 'pattern' says nothing of write fields; add 'fields' to the job file and name it with --job; 'patternc build --print-defaults job' shows it\n",
            folder.Run("split", "whole.figures", "--field", "r01c01").Expect(1).Errors,
            StringComparison.Ordinal);
    }
}
