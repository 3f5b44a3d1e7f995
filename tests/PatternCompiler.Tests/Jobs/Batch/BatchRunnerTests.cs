using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Batch;

namespace PatternCompiler.Tests.Jobs.Batch;

public sealed class BatchRunnerTests : IDisposable
{
    private readonly BatchFolder folder = new();

    public void Dispose() => folder.Dispose();

    private static string Show(ImmutableArray<EntryResult> results) => string.Join("; ", results.Select(result =>
        $"{Path.GetFileName(result.Entry.JobPath)} {result.Outcome}" + (result.Reasons.IsEmpty ? "" : $" ({string.Join(", ", result.Reasons)})")));

    [Fact]
    public void Builds_once_and_then_only_what_has_changed()
    {
        folder.WriteJob("a.yaml");
        folder.WriteJob("b.yaml", "other.layout");
        folder.Write("other.layout", "layout 1\nunit um\nlayer x\nrect on x from (0, 0) to (2, 2)\n");
        BatchPlan plan = folder.Jobs("a.yaml", "b.yaml");
        Assert.Equal("a.yaml Built (it has not been built yet); b.yaml Built (it has not been built yet)", Show(folder.Run(plan)));
        Assert.True(File.Exists(folder.PathOf("a.stream")));
        Assert.Equal("a.yaml UpToDate; b.yaml UpToDate", Show(folder.Run(plan)));

        folder.Write("other.layout", "layout 1\nunit um\nlayer x\nrect on x from (0, 0) to (2, 3)\n");
        Assert.Equal("a.yaml UpToDate; b.yaml Built (the input other.layout has changed)", Show(folder.Run(plan)));
        Assert.Equal("a.yaml UpToDate; b.yaml UpToDate", Show(folder.Run(plan)));
    }

    [Fact]
    public void A_batch_builds_what_a_build_does()
    {
        folder.Write("process.yaml", "process: p\ndose: {area: 300 uC/cm2, line: 1 nC/cm, dot: 10 fC}\nresist: {contrast: 5, clearing: 150 uC/cm2, thickness: 500 nm}\nspread: {backscatter: 4 um, ratio: 0.74}\n");
        folder.WriteJob("a.yaml", more: "process: process.yaml\ncorrect: {target: edge}");
        Job job = JobFile.Read(folder.PathOf("a.yaml"));
        byte[] alone = BatchFolder.Build(BuildSettings.Read(job));
        Assert.Equal(EntryOutcome.Built, Assert.Single(folder.Run(folder.Jobs("a.yaml"))).Outcome);
        Assert.Equal(alone, File.ReadAllBytes(folder.PathOf("a.stream")));
    }

    [Fact]
    public void Everything_that_decides_the_output_is_watched()
    {
        folder.WriteJob("a.yaml", "main.layout");
        folder.Write("main.layout", "layout 1\ninclude \"chip.layout\"\n");
        BatchPlan plan = folder.Jobs("a.yaml");
        folder.Run(plan);

        folder.Write("machine.yaml", DefaultFiles.MachineText.Replace("current: 100 pA", "current: 50 pA", StringComparison.Ordinal));
        Assert.Equal("a.yaml Built (the input machine.yaml has changed)", Show(folder.Run(plan)));
        folder.Write("chip.layout", "layout 1\nunit um\nlayer pads\nrect on pads from (0, 0) to (3, 1)\n");
        Assert.Equal("a.yaml Built (the input chip.layout has changed)", Show(folder.Run(plan)));
        folder.WriteJob("a.yaml", "main.layout", "markers: yes");
        Assert.Equal("a.yaml Built (the input a.yaml has changed)", Show(folder.Run(plan)));
        File.Delete(folder.PathOf("a.stream"));
        Assert.Equal("a.yaml Built (the output a.stream is missing)", Show(folder.Run(plan)));
        folder.Write("a.stream", "edited");
        Assert.Equal("a.yaml Built (the output a.stream has changed)", Show(folder.Run(plan)));
        Assert.Equal("a.yaml Built (it was built by version 1.0, this is 1.1)", Show(folder.Run(plan, "1.1")));
        Assert.Equal("a.yaml Built (building everything was asked for)", Show(folder.Run(plan, "1.1", rebuildAll: true)));
        Assert.Equal("a.yaml UpToDate", Show(folder.Run(plan, "1.1")));
    }

    [Fact]
    public void A_touched_file_with_the_same_content_is_no_change()
    {
        folder.WriteJob("a.yaml");
        BatchPlan plan = folder.Jobs("a.yaml");
        folder.Run(plan);
        folder.Age("chip.layout");
        folder.Age("a.stream");
        string record = Directory.GetFiles(folder.PathOf(BatchOptions.RecordsFolderName)).Single();
        string before = File.ReadAllText(record);
        Assert.Equal("a.yaml UpToDate", Show(folder.Run(plan)));
        string after = File.ReadAllText(record);
        Assert.NotEqual(before, after);
        Assert.Equal("a.yaml UpToDate", Show(folder.Run(plan)));
        Assert.Equal(after, File.ReadAllText(record));
    }

    /// <summary>Tools that go by times alone must not ask for an output again whose inputs were touched, but not changed.</summary>
    [Fact]
    public void Outputs_are_newer_than_inputs_that_were_touched()
    {
        folder.WriteJob("a.yaml");
        BatchPlan plan = folder.Jobs("a.yaml");
        folder.Run(plan);
        DateTime later = File.GetLastWriteTimeUtc(folder.PathOf("a.stream")).AddSeconds(100);
        File.SetLastWriteTimeUtc(folder.PathOf("chip.layout"), later);
        Assert.Equal("a.yaml UpToDate", Show(folder.Run(plan)));
        Assert.InRange(File.GetLastWriteTimeUtc(folder.PathOf("a.stream")), File.GetLastWriteTimeUtc(folder.PathOf("chip.layout")).AddTicks(1), later.AddSeconds(1));
        Assert.Equal("a.yaml UpToDate", Show(folder.Run(plan)));
    }

    /// <summary>Whatever was read of a drawing that changes under the build, its record would be of the wrong content.</summary>
    [Fact]
    public void A_drawing_that_changes_while_it_is_read_is_built_again()
    {
        folder.WriteJob("a.yaml");
        BatchPlan plan = folder.Jobs("a.yaml");
        folder.Opening = () => folder.Write("chip.layout", "layout 1\nunit um\nlayer pads\nrect on pads from (0, 0) to (3, 1)\n");
        EntryResult result = Assert.Single(folder.Run(plan));
        Assert.Equal(EntryOutcome.Built, result.Outcome);
        Assert.Contains($"{folder.PathOf("chip.layout")}: warning PC6005: this file was changed while it was read; it will be built again next time", result.Diagnostics.Select(told => told.ToString()));
        folder.Opening = null;
        Assert.Equal("a.yaml Built (it has not been built yet)", Show(folder.Run(plan)));
        Assert.Equal("a.yaml UpToDate", Show(folder.Run(plan)));
    }

    /// <summary>An output that another entry reads would be written while that one reads it, whether it is to be built or not.</summary>
    [Fact]
    public void No_entry_may_write_what_another_reads()
    {
        folder.WriteJob("reader.yaml", "made.layout");
        folder.Write("made.layout", "layout 1\nunit um\nlayer x\nrect on x from (0, 0) to (2, 2)\n");
        folder.Write("writer.yaml", "job: w\nmachine: machine.yaml\nsources: [chip.layout]\noutputs: [{file: w.stream, format: stream}]\nkeep: {layout: made.layout}\n");
        for (int i = 0; i < 2; i++)
        {
            ImmutableArray<EntryResult> results = folder.Run(folder.Jobs("writer.yaml", "reader.yaml"));
            Assert.Equal([EntryOutcome.Failed, i == 0 ? EntryOutcome.Built : EntryOutcome.UpToDate], results.Select(result => result.Outcome));
            Assert.Equal(
                $"{folder.PathOf("writer.yaml")}: error PC6061: the output '{folder.PathOf("made.layout")}' is read by '{folder.PathOf("reader.yaml")}'; give the output another name, or build the two jobs one after the other",
                results[0].Diagnostics.Single().ToString());
        }
    }

    [Fact]
    public void A_lost_or_damaged_record_means_building_again()
    {
        folder.WriteJob("a.yaml");
        BatchPlan plan = folder.Jobs("a.yaml");
        folder.Run(plan);
        byte[] bytes = File.ReadAllBytes(folder.PathOf("a.stream"));
        string record = Directory.GetFiles(folder.PathOf(BatchOptions.RecordsFolderName)).Single();
        string[] lines = File.ReadAllLines(record);
        for (int kept = 0; kept < lines.Length; kept++)
        {
            File.WriteAllLines(record, lines[..kept]);
            Assert.Equal("a.yaml Built (the record of its last build cannot be read)", Show(folder.Run(plan)));
        }

        File.Delete(record);
        Assert.Equal("a.yaml Built (it has not been built yet)", Show(folder.Run(plan)));
        Assert.Equal(bytes, File.ReadAllBytes(folder.PathOf("a.stream")));
    }

    [Fact]
    public void A_moved_project_is_still_up_to_date()
    {
        folder.WriteJob("a.yaml");
        folder.Run(folder.Jobs("a.yaml"));
        using var other = new BatchFolder();
        Directory.Delete(other.Root, recursive: true);
        Directory.Move(folder.Root, other.Root);
        Directory.CreateDirectory(folder.Root);
        Assert.Equal("a.yaml UpToDate", Show(other.Run(other.Jobs("a.yaml"))));
    }

    [Fact]
    public void A_failure_does_not_stop_the_others()
    {
        folder.WriteJob("a.yaml", "missing.layout");
        folder.Write("b.yaml", "job: b\nmachin: x\n");
        folder.WriteJob("c.yaml", "broken.layout");
        folder.Write("broken.layout", "layout 1\nnonsense\n");
        folder.WriteJob("d.yaml");
        ImmutableArray<EntryResult> results = folder.Run(folder.Jobs("b.yaml", "c.yaml", "d.yaml"));
        Assert.Equal(
            "b.yaml Failed (it has not been built yet); c.yaml Failed (it has not been built yet); d.yaml Built (it has not been built yet)", Show(results));
        Assert.Equal("PC0111", results[0].Diagnostics[^1].Code.Id);
        Assert.Equal(Severity.Error, results[1].Diagnostics[^1].Severity);
        Assert.False(File.Exists(folder.PathOf("c.stream")));

        folder.Write("broken.layout", "layout 1\nunit um\nlayer x\nrect on x from (0, 0) to (2, 2)\n");
        Assert.Equal(EntryOutcome.Built, folder.Run(folder.Jobs("c.yaml"))[0].Outcome);
    }

    /// <summary>A label of an SVG drawing is lost unless its text is asked for.</summary>
    [Theory]
    [InlineData(false, "", EntryOutcome.Built)]
    [InlineData(true, "", EntryOutcome.Failed)]
    [InlineData(false, "strict: yes", EntryOutcome.Failed)]
    internal void A_strict_batch_or_job_loses_nothing(bool isStrict, string more, EntryOutcome outcome)
    {
        folder.Write("chip.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"0.01mm\" height=\"0.01mm\" viewBox=\"0 0 10 10\"><rect width=\"2\" height=\"3\" x=\"1\" y=\"1\"/><text x=\"1\" y=\"1\">a</text></svg>");
        folder.WriteJob("a.yaml", "chip.svg", more);
        EntryResult result = folder.Run(folder.Jobs("a.yaml"), isStrict: isStrict)[0];
        Assert.Equal(outcome, result.Outcome);
        Assert.Equal(outcome == EntryOutcome.Built, File.Exists(folder.PathOf("a.stream")));

        // What was lost is told again where nothing is built again.
        Assert.Equal(result.Diagnostics.Count(told => told.Code.Kind == DiagnosticKind.Loss), folder.Run(folder.Jobs("a.yaml"), isStrict: isStrict)[0].Diagnostics.Count(told => told.Code.Kind == DiagnosticKind.Loss));
    }

    [Fact]
    public void Two_entries_cannot_make_one_file()
    {
        folder.WriteJob("a.yaml");
        folder.Write("b.yaml", "job: b\nsources: [chip.layout]\noutputs: [{file: a.stream, format: stream}]\n");
        ImmutableArray<EntryResult> results = folder.Run(folder.Jobs("a.yaml", "b.yaml"));
        Assert.Equal([EntryOutcome.Built, EntryOutcome.Failed], results.Select(result => result.Outcome));
        Assert.Equal(
            $"{folder.PathOf("b.yaml")}: error PC6002: the output '{folder.PathOf("a.stream")}' is made by '{folder.PathOf("a.yaml")}', too; give the entries different outputs",
            results[1].Diagnostics.Single().ToString());
    }

    [Fact]
    public void Values_are_varied_in_every_combination_and_change_the_output()
    {
        folder.WriteJob("job.yaml");
        folder.Write("coarse.yaml", DefaultFiles.MachineText.Replace("bits: 16", "bits: 12", StringComparison.Ordinal));
        folder.Write(
            "series.yaml",
            """
            batch: series
            jobs: job.yaml
            vary:
              dose: [300 uC/cm2, 600 uC/cm2]
              machine: [machine.yaml, coarse.yaml]
              parameters: {size: [1 um, 2 um]}
            folder: out/{machine}/{dose}-{parameters.size}
            """);
        BatchPlan plan = BatchFile.Read(folder.PathOf("series.yaml"));
        ImmutableArray<EntryResult> results = folder.Run(plan);
        Assert.All(results, result => Assert.Equal(EntryOutcome.Built, result.Outcome));
        Assert.Equal(8, results.Length);

        // 1 um2 at 300 uC/cm2 are 3 pC; dose and size double it each (dose is charge per area).
        Assert.Equal([3.0, 6, 3, 6, 6, 12, 6, 12], results.Select(result => Math.Round(result.Summary!.Strokes.ChargeCoulombs * 1e12, 6)));
        Assert.True(File.Exists(folder.PathOf("out/coarse/600uC-cm2-2um/job.stream")));
        Assert.All(folder.Run(plan), result => Assert.Equal(EntryOutcome.UpToDate, result.Outcome));

        folder.Write("coarse.yaml", DefaultFiles.MachineText.Replace("bits: 16", "bits: 14", StringComparison.Ordinal));
        Assert.Equal([2, 3, 6, 7], folder.Run(plan).Select((result, i) => (result, i)).Where(pair => pair.result.Outcome == EntryOutcome.Built).Select(pair => pair.i));
    }

    [Fact]
    public void The_number_of_threads_changes_nothing()
    {
        for (int i = 0; i < 12; i++)
        {
            folder.WriteJob($"j{i}.yaml", more: $"fill: {{line_pitch: {20 + i} nm}}");
        }

        BatchPlan plan = BatchPlan.OfJobs([folder.PathOf("j*.yaml")]);
        ImmutableArray<string> one = [.. folder.Run(plan, parallel: 1).Select(result => result.Outputs.Single().Hash)];
        ImmutableArray<string> many = [.. folder.Run(plan, parallel: 8, rebuildAll: true).Select(result => result.Outputs.Single().Hash)];
        Assert.Equal(one.AsEnumerable(), many);
        Assert.Equal(12, one.Distinct().Count());
    }

    [Fact]
    public void A_batch_that_is_cancelled_on_the_way_stops_and_a_fault_of_the_program_is_not_hidden()
    {
        folder.WriteJob("a.yaml");
        folder.WriteJob("b.yaml");
        using var cancellation = new CancellationTokenSource();
        Assert.ThrowsAny<OperationCanceledException>(() => Run(() =>
        {
            cancellation.Cancel();
            throw new OperationCanceledException(cancellation.Token);
        }));
        Assert.IsType<InvalidOperationException>(Assert.Throws<AggregateException>(() => BatchRunner.Run(
            folder.Jobs("a.yaml"), new BatchOptions("1", folder.PathOf("r"), 1), () => throw new InvalidOperationException(), null, CancellationToken.None)).InnerException);

        ImmutableArray<EntryResult> Run(Func<IBuildFiles> open) =>
            BatchRunner.Run(folder.Jobs("a.yaml", "b.yaml"), new BatchOptions("1", folder.PathOf("r"), 1), open, null, cancellation.Token);
    }

    [Fact]
    public void A_cancelled_batch_stops()
    {
        folder.WriteJob("a.yaml");
        Assert.ThrowsAny<OperationCanceledException>(() => BatchRunner.Run(
            folder.Jobs("a.yaml"),
            new BatchOptions("1", folder.PathOf("r"), 1),
            () => throw new InvalidOperationException(),
            null,
            new CancellationToken(canceled: true)));
    }
}
