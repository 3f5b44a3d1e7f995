using System.Collections.Immutable;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Batch;
using PatternCompiler.Reports;

namespace PatternCompiler.Tests.Jobs.Batch;

/// <summary>Reports of a batch's jobs and their index.</summary>
public sealed class BatchPagesTests : IDisposable
{
    private readonly BatchFolder folder = new();

    public void Dispose() => folder.Dispose();

    [Fact]
    public void A_report_that_was_not_asked_for_before_is_a_reason_to_build()
    {
        folder.WriteJob("a.yaml");
        folder.Run(folder.Jobs("a.yaml"));
        BatchPlan plan = folder.Jobs("a.yaml").WithReports(folder.PathOf("pages"));
        EntryResult built = Assert.Single(folder.Run(plan));
        Assert.Equal("its report has not been written yet", Assert.Single(built.Reasons));
        Assert.True(File.Exists(plan.Entries[0].ReportPath));
        Assert.Equal(EntryOutcome.UpToDate, Assert.Single(folder.Run(plan)).Outcome);
        File.Delete(plan.Entries[0].ReportPath!);
        Assert.EndsWith("is missing", Assert.Single(Assert.Single(folder.Run(plan)).Reasons), StringComparison.Ordinal);
    }

    [Fact]
    public void Whether_the_bytes_changed_is_known_and_the_figures_are_remembered()
    {
        folder.WriteJob("a.yaml");
        BatchPlan plan = folder.Jobs("a.yaml").WithReports(folder.PathOf("pages"));
        EntryResult first = Assert.Single(folder.Run(plan));
        Assert.Null(first.HasNewBytes);
        Assert.True(first.Figures!.WriteSeconds > 0);
        EntryResult idle = Assert.Single(folder.Run(plan));
        Assert.False(idle.HasNewBytes);
        Assert.Equal(first.Figures, idle.Figures);

        // Another comment gives another page, but the same stream.
        folder.Write("machine.yaml", DefaultFiles.MachineText + "# looked at\n");
        EntryResult same = Assert.Single(folder.Run(plan));
        Assert.Equal((EntryOutcome.Built, false), (same.Outcome, same.HasNewBytes));
        folder.Write("machine.yaml", DefaultFiles.MachineText.Replace("current: 100 pA", "current: 50 pA", StringComparison.Ordinal));
        Assert.True(Assert.Single(folder.Run(plan)).HasNewBytes);
        Assert.False(Assert.Single(folder.Run(plan, rebuildAll: true)).HasNewBytes);
    }

    /// <summary>What varies is found from the settings of all jobs; what was predicted is remembered with the build.</summary>
    [Fact]
    public void The_index_knows_what_varies_and_what_was_predicted_before()
    {
        folder.WriteJob("a.yaml");
        folder.Write("series.yaml", "batch: s\njobs: a.yaml\nvary:\n  strategy: [lines, raster]\n  dose: [200 uC/cm2, 250 uC/cm2, 300 uC/cm2]\n  line_pitch: [10 nm, 20 nm]\n  current: [100 pA]\n");
        BatchPlan plan = BatchFile.Read(folder.PathOf("series.yaml")).WithReports(folder.PathOf("pages"));
        IndexContent built = BatchIndex.Of(plan, folder.Run(plan), "1");
        Assert.Equal(["dose", "line pitch"], built.Axes.Select(axis => axis.Name));
        Assert.Equal("strategy", Assert.Single(built.Others));
        Assert.Equal([2.0, 10e-9], built.Rows[0].Values.Select(value => value.Number));
        Assert.Equal(["200\u00A0µC/cm²", "10\u00A0nm"], built.Rows[0].Values.Select(value => value.Text));
        Assert.Equal("lines", Assert.Single(built.Rows[0].OtherWords));
        Assert.All(built.Rows, row => Assert.True(row is { Records: > 0, ChargeCoulombs: > 0 }));
        IndexContent idle = BatchIndex.Of(plan, folder.Run(plan), "1");
        Assert.All(idle.Rows, row => Assert.Equal("up to date", row.Status));
        Assert.Equal(built.Rows.Select(row => row.Print), idle.Rows.Select(row => row.Print));
        Assert.Equal(built.Rows.Select(row => (row.Records, row.ChargeCoulombs)), idle.Rows.Select(row => (row.Records, row.ChargeCoulombs)));
    }

    [Fact]
    public void Names_of_reports_are_plain_and_differ()
    {
        BatchPlan plan = new("b", null,
        [
            BatchEntry.Of("chips/a b/job.yaml"), BatchEntry.Of("x.yaml with dose 200 uC/cm2"), BatchEntry.Of("index.yaml"), BatchEntry.Of("ü"),
            BatchEntry.Of("twin/1.yaml"), BatchEntry.Of("twin-1.yaml"), BatchEntry.Of(new string('n', 300)),
        ]);
        string[] names = [.. plan.WithReports("pages").Entries.Select(entry => entry.ReportPath!)];
        Assert.Equal(["pages/chips-a-b-job.html", "pages/x-with-dose-200-uC-cm2.html", "pages/job-index.html", "pages/job-.html"], names[..4]);
        Assert.Matches("^pages/twin-1-[0-9a-f]{8}\\.html$", names[4]);
        Assert.Matches("^pages/twin-1-[0-9a-f]{8}\\.html$", names[5]);
        Assert.Equal("pages/".Length + 100 + ".html".Length, names[6].Length);
        Assert.Equal(names.Length, names.Distinct().Count());
    }

    [Fact]
    public void The_index_has_a_row_for_each_job_and_links_only_what_is_there()
    {
        folder.WriteJob("good.yaml");
        folder.WriteJob("bad.yaml", "missing.layout", "markers: perhaps");
        BatchPlan plan = folder.Jobs("bad.yaml", "good.yaml").WithReports(folder.PathOf("pages"));
        ImmutableArray<EntryResult> results = folder.Run(plan);
        IndexContent index = BatchIndex.Of(plan, results, "1.2.3");
        IndexRow bad = index.Rows[0];
        IndexRow good = index.Rows[1];
        Assert.Equal(("failed", null, "PC0114"), (bad.Status, bad.Link, bad.Failure!.Code.Id));
        Assert.Null(bad.WriteSeconds);
        Assert.Equal(("built", null, 0), (good.Status, good.Failure, good.Warnings));
        Assert.True(File.Exists(Path.Combine(folder.PathOf("pages"), good.Link!)));
    }
}
