namespace PatternCompiler.EndToEnd;

/// <summary>The dependency file drives the real make and ninja.</summary>
public sealed class DependencyFileTests
{
    private const string Machine = "machine: machine.yaml\n";

    // A change of each input that changes the output.
    private static readonly string[] Changes =
    [
        "echo 'rect on pads from (2, 0) to (3, 1)' >> chip.layout",
        "echo 'rect on pads from (4, 0) to (5, 1)' >> included.layout",
        "sed -i 's/current: 100 pA/current: 90 pA/' machine.yaml",
        "echo 'fill: {line_pitch: 33 nm}' >> job.yaml",
    ];

    [FactWith("make")]
    public void Make_rebuilds_what_the_dependency_file_says()
    {
        using WorkFolder folder = WithChip();
        folder.With("Makefile", "chip.stream: job.yaml\n\tpatternc --quiet batch job.yaml --depfile chip.d\n\t@echo ran\n-include chip.d\n");
        Check(folder, "make -s");
    }

    [FactWith("ninja")]
    public void Ninja_rebuilds_what_the_dependency_file_says()
    {
        using WorkFolder folder = WithChip();
        folder.With(
            "build.ninja",
            "rule patternc\n  command = patternc --quiet batch $in --depfile chip.d && echo ran\n  depfile = chip.d\nbuild chip.stream: patternc job.yaml\n");
        Check(folder, "ninja --quiet");
    }

    [FactWith("ninja")]
    public void Ninja_knows_several_jobs_of_several_outputs_from_one_file()
    {
        using WorkFolder folder = WithChip();
        foreach (string name in (string[])["a", "b"])
        {
            folder.With($"{name}.yaml", $"job: {name}\nsources: [chip.layout]\noutputs: [{{file: out {name}/{name}.stream, format: stream}}]\nkeep: {{figures: out {name}/a first name.figures}}\n");
        }

        folder.With(
            "build.ninja",
            """
            rule patternc
              command = patternc --quiet batch $in --depfile chips.d && echo ran
              depfile = chips.d
            build out$ a/a.stream out$ a/a$ first$ name.figures out$ b/b.stream out$ b/a$ first$ name.figures: patternc a.yaml b.yaml

            """);
        Assert.Contains("ran", Executable.Shell(folder.Path, "ninja --quiet").Expect(0).Output, StringComparison.Ordinal);
        Assert.DoesNotContain("ran", Executable.Shell(folder.Path, "ninja --quiet").Expect(0).Output, StringComparison.Ordinal);
        Executable.Shell(folder.Path, "sleep 0.01; echo 'rect on pads from (4, 0) to (5, 1)' >> included.layout");
        Assert.Contains("ran", Executable.Shell(folder.Path, "ninja --quiet").Expect(0).Output, StringComparison.Ordinal);
        Assert.DoesNotContain("ran", Executable.Shell(folder.Path, "ninja --quiet").Expect(0).Output, StringComparison.Ordinal);
    }

    private static void Check(WorkFolder folder, string tool)
    {
        Assert.Contains("ran", Executable.Shell(folder.Path, tool).Expect(0).Output, StringComparison.Ordinal);
        Assert.DoesNotContain("ran", Executable.Shell(folder.Path, tool).Expect(0).Output, StringComparison.Ordinal);
        foreach (string change in Changes)
        {
            byte[] before = folder.Read("chip.stream");
            Executable.Shell(folder.Path, $"sleep 0.01; {change}").Expect(0);
            Assert.Contains("ran", Executable.Shell(folder.Path, tool).Expect(0).Output, StringComparison.Ordinal);
            Assert.NotEqual(before, folder.Read("chip.stream"));
            Assert.DoesNotContain("ran", Executable.Shell(folder.Path, tool).Expect(0).Output, StringComparison.Ordinal);
        }

        // A touched input is no change: nothing is built, and the tool is content with that.
        Executable.Shell(folder.Path, "sleep 0.01; touch chip.layout").Expect(0);
        byte[] unchanged = folder.Read("chip.stream");
        Assert.Contains("ran", Executable.Shell(folder.Path, tool).Expect(0).Output, StringComparison.Ordinal);
        Assert.DoesNotContain("ran", Executable.Shell(folder.Path, tool).Expect(0).Output, StringComparison.Ordinal);
        Assert.Equal(unchanged, folder.Read("chip.stream"));

        // A deleted output is made again; an input that is not there any more is the tool's error, not a silent success.
        File.Delete(folder["chip.stream"]);
        Assert.Contains("ran", Executable.Shell(folder.Path, tool).Expect(0).Output, StringComparison.Ordinal);
        Assert.True(File.Exists(folder["chip.stream"]));
        File.Delete(folder["included.layout"]);
        Assert.NotEqual(0, Executable.Shell(folder.Path, tool).ExitCode);
    }

    private static WorkFolder WithChip()
    {
        WorkFolder folder = new WorkFolder()
            .With("chip.layout", "layout 1\nunit um\nlayer pads\ninclude \"included.layout\"\n")
            .With("included.layout", "layout 1\nunit um\nlayer pads\nrect on pads from (0, 0) to (1, 1)\n")
            .With("job.yaml", $"job: chip\n{Machine}sources: [chip.layout]\noutputs: [{{file: chip.stream, format: stream}}]\n");
        Executable.Shell(folder.Path, "patternc build --print-defaults machine > machine.yaml");
        return folder;
    }
}
