namespace PatternCompiler.EndToEnd;

/// <summary>The dependency file drives the real make and ninja.</summary>
public sealed class DependencyFileTests
{
    private const string Machine = "machine: machine.yaml\n";

    [Fact]
    public void Make_rebuilds_what_the_dependency_file_says()
    {
        using WorkFolder folder = WithChip();
        folder.With("Makefile", "chip.stream: job.yaml\n\tpatternc --quiet batch job.yaml --depfile chip.d\n\t@echo ran\n-include chip.d\n");
        Check(folder, "make -s");
    }

    [Fact]
    public void Ninja_rebuilds_what_the_dependency_file_says()
    {
        using WorkFolder folder = WithChip();
        folder.With(
            "build.ninja",
            "rule patternc\n  command = patternc --quiet batch $in --depfile chip.d && echo ran\n  depfile = chip.d\nbuild chip.stream: patternc job.yaml\n");
        Check(folder, "ninja --quiet");
    }

    private static void Check(WorkFolder folder, string tool)
    {
        if (Executable.Shell(folder.Path, $"command -v {tool.Split(' ')[0]}").ExitCode != 0)
        {
            return;
        }

        Assert.Contains("ran", Executable.Shell(folder.Path, tool).Expect(0).Output, StringComparison.Ordinal);
        Assert.DoesNotContain("ran", Executable.Shell(folder.Path, tool).Expect(0).Output, StringComparison.Ordinal);
        foreach (string input in (string[])["chip.layout", "included.layout", "machine.yaml", "job.yaml"])
        {
            Executable.Shell(folder.Path, $"sleep 0.01; echo '# changed' >> {input}");
            Assert.Contains("ran", Executable.Shell(folder.Path, tool).Expect(0).Output, StringComparison.Ordinal);
            Assert.DoesNotContain("ran", Executable.Shell(folder.Path, tool).Expect(0).Output, StringComparison.Ordinal);
        }
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
