using System.Text.Json;

namespace PatternCompiler.EndToEnd;

/// <summary>Many jobs from one command line: globs, values to vary, shares of the work, what is said and what is rebuilt.</summary>
public sealed class BatchTests
{
    private const string Series = """
        batch: dose and pitch
        jobs: chips/**/job.yaml
        vary:
          machine: [fine.yaml, coarse.yaml]
          dose: [200 uC/cm2, 300 uC/cm2]
          parameters: {pitch: [2 um, 3 um]}
        folder: out/{machine}/{dose}_{parameters.pitch}

        """;

    [Fact]
    public void Every_combination_is_built_below_its_own_folder()
    {
        using WorkFolder folder = WithSeries();
        Outcome outcome = folder.Run("batch", "series.yaml", "--json", "result.json").Expect(0);
        Assert.EndsWith("8 built, 0 up to date, 0 failed\n", outcome.Errors, StringComparison.Ordinal);
        Assert.Equal(
            from machine in (string[])["coarse", "fine"]
            from dose in (int[])[200, 300]
            from pitch in (int[])[2, 3]
            select $"out/{machine}/{dose}uC-cm2_{pitch}um/chip.stream",
            folder.Entries.Where(entry => entry.EndsWith(".stream", StringComparison.Ordinal)));
        using JsonDocument json = JsonDocument.Parse(folder.Read("result.json"));
        JsonElement[] entries = [.. json.RootElement.GetProperty("entries").EnumerateArray()];
        Assert.Equal(8, entries.Length);
        Assert.Equal("200 uC/cm2", entries[0].GetProperty("values").GetProperty("dose").GetString());
        Assert.Equal("it has not been built yet", entries[0].GetProperty("reasons")[0].GetString());
        Assert.Equal(64, entries[0].GetProperty("outputs")[0].GetProperty("sha256").GetString()!.Length);
        Assert.True(entries[0].GetProperty("summary").GetProperty("writeSeconds").GetDouble() > 0);
    }

    [Fact]
    public void A_changed_machine_file_rebuilds_only_its_own_and_says_so()
    {
        using WorkFolder folder = WithSeries();
        folder.Run("batch", "series.yaml").Expect(0);
        File.AppendAllText(folder["coarse.yaml"], "# another comment\n");
        Outcome outcome = folder.Run("batch", "series.yaml", "--explain").Expect(0);
        Assert.EndsWith("4 built, 4 up to date, 0 failed\n", outcome.Errors, StringComparison.Ordinal);
        string[] built = [.. outcome.Errors.Split('\n').Where(line => line.StartsWith("built ", StringComparison.Ordinal))];
        Assert.All(built, line => Assert.Matches("^built chips/a/job.yaml with machine coarse.yaml, .*: the input coarse.yaml has changed$", line));
        Assert.Equal(4, outcome.Errors.Split('\n').Count(line => line.StartsWith("up to date chips/a/job.yaml with machine fine.yaml, ", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_lost_output_is_made_again_and_a_dropped_value_stays_built()
    {
        using WorkFolder folder = WithSeries();
        folder.Run("batch", "series.yaml").Expect(0);
        File.Delete(folder["out/fine/200uC-cm2_2um/chip.stream"]);
        Assert.Contains(
            ": the output out/fine/200uC-cm2_2um/chip.stream is missing\n", folder.Run("batch", "series.yaml", "--explain").Expect(0).Errors, StringComparison.Ordinal);
        folder.With("series.yaml", Series.Replace("200 uC/cm2, ", "", StringComparison.Ordinal));
        Assert.EndsWith("0 built, 4 up to date, 0 failed\n", folder.Run("batch", "series.yaml").Expect(0).Errors, StringComparison.Ordinal);
        Assert.Contains(": building everything was asked for\n", folder.Run("batch", "series.yaml", "--explain", "--rebuild-all").Expect(0).Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void Parts_of_a_batch_on_several_machines_are_the_whole()
    {
        using WorkFolder whole = WithSeries();
        whole.Run("batch", "series.yaml").Expect(0);
        using WorkFolder parts = WithSeries();
        Assert.Equal(
            ["3 built, 0 up to date, 0 failed", "3 built, 0 up to date, 0 failed", "2 built, 0 up to date, 0 failed"],
            Enumerable.Range(1, 3).Select(part => parts.Run("batch", "series.yaml", "--shard", $"{part}/3").Expect(0).Errors.TrimEnd('\n').Split('\n')[^1]));
        Executable.Shell(whole.Path, $"diff -r out '{parts["out"]}'").Expect(0);
    }

    [Fact]
    public void Alike_messages_of_alike_jobs_are_told_once()
    {
        using WorkFolder folder = WithSeries();
        string[] lines = folder.Run("batch", "series.yaml").Expect(0).Errors.Split('\n');
        string[] codes = [.. lines.Select(line => System.Text.RegularExpressions.Regex.Match(line, "(note|warning) PC[0-9]+").Value).Where(code => code.Length > 0)];
        Assert.NotEmpty(codes);
        Assert.Equal(codes.Distinct(), codes);

        // One code of 10 bits is wider than the spot: in the four builds for that machine.
        Assert.Contains(lines, line => line.StartsWith("warning PC3002: ", StringComparison.Ordinal)
            && line.Contains(" (4 times in 4 builds, first in chips/a/job.yaml with machine coarse.yaml, dose 200 uC/cm2, parameters.pitch 2 um); ", StringComparison.Ordinal));

        string[] every = folder.Run("batch", "series.yaml", "--rebuild-all", "--every-message").Expect(0).Errors.Split('\n');
        Assert.Equal(4, every.Count(line => line.StartsWith("warning PC3002: ", StringComparison.Ordinal)));
        Assert.DoesNotContain("note ", folder.Run("batch", "series.yaml", "--rebuild-all", "--quiet").Expect(0).Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void Job_files_alone_need_no_batch_file()
    {
        using WorkFolder folder = WithSeries().With("chips/b/deep/job.yaml", Job).With("chips/b/deep/chip.layout", Chip);
        Assert.EndsWith("2 built, 0 up to date, 0 failed\n", folder.Run("batch", "chips/**/job.yaml").Expect(0).Errors, StringComparison.Ordinal);
        Assert.EndsWith("0 built, 2 up to date, 0 failed\n", folder.Run("batch", "chips/a/job.yaml", "chips/b/*/j?b.yaml").Expect(0).Errors, StringComparison.Ordinal);
        Assert.Equal(
            "chips/*/nothing.yaml: error PC6001: no file matches this pattern; check the folder and the ending\n",
            folder.Run("batch", "chips/*/nothing.yaml").Errors);
    }

    private const string Job = "job: chip\nsources: [{file: chip.layout, parameters: {pitch: 2 um}}]\noutputs: [{file: chip.stream, format: stream}]\n";

    private const string Chip = "layout 1\nunit um\nlet pitch = 2 um\nlayer lines\nrepeat 4 as i\n  rect on lines at (i * pitch, 0) size (0.5, 4)\nend\n";

    private static WorkFolder WithSeries()
    {
        WorkFolder folder = new WorkFolder().With("series.yaml", Series).With("chips/a/job.yaml", Job).With("chips/a/chip.layout", Chip);
        string machine = folder.Run("build", "--print-defaults", "machine").Expect(0).Output;
        return folder.With("fine.yaml", machine).With("coarse.yaml", machine.Replace("bits: 16", "bits: 10", StringComparison.Ordinal));
    }
}
