using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Batch;

namespace PatternCompiler.Tests.Jobs.Batch;

public sealed class BatchFileTests : IDisposable
{
    private readonly BatchFolder folder = new();

    public BatchFileTests()
    {
        folder.WriteJob("a.yaml");
        folder.WriteJob("b.yaml");
    }

    public void Dispose() => folder.Dispose();

    private BatchPlan Parse(string yaml) => BatchFile.Parse(yaml, folder.PathOf("batch.yaml"));

    private string ErrorOf(string yaml) =>
        Assert.Throws<CompileException>(() => Parse(yaml)).Message.Split('\n')[0].Replace(folder.Root + "/", "", StringComparison.Ordinal);

    [Fact]
    public void Jobs_without_values_stay_where_they_are()
    {
        BatchPlan plan = Parse("batch: all\njobs: ['?.yaml', a.yaml]\n");
        Assert.Equal([folder.PathOf("a.yaml"), folder.PathOf("b.yaml")], plan.Entries.Select(entry => entry.Name));
        Assert.All(plan.Entries, entry => Assert.Null(entry.Folder));
    }

    [Fact]
    public void The_last_value_changes_fastest()
    {
        BatchPlan plan = Parse("batch: s\njobs: a.yaml\nvary:\n  line_pitch: [10 nm, 3 codes]\n  dose_factor: [0.9, 110 %]\n");
        Assert.Equal(
            ["10nm_0.9", "10nm_110p", "3codes_0.9", "3codes_110p"], plan.Entries.Select(entry => Path.GetFileName(entry.Folder)));
        Assert.Equal(folder.PathOf("a.yaml") + " with line_pitch 10 nm, dose_factor 0.9", plan.Entries[0].Name);
        Assert.Equal(folder.PathOf("out/a/10nm_0.9"), plan.Entries[0].Folder);
    }

    [Theory]
    [InlineData("batch: s\njobs: c.yaml\n", "batch.yaml:2:7: error PC6001: 'jobs': there is no such job file; check the path")]
    [InlineData("batch: s\njobs: '*.yml'\n", "batch.yaml:2:7: error PC6001: 'jobs': no file matches this pattern; check the folder and the ending")]
    [InlineData("batch: s\njobs: a.yaml\nvary: {doze: 1}\n", "batch.yaml:3:8: error PC0111: unknown key 'doze' in 'vary'; did you mean 'dose'?")]
    [InlineData("batch: s\njobs: a.yaml\nvary: {dose: [1 V]}\n", "batch.yaml:3:15: error PC0104: 'vary.dose[1]' needs an area dose, but '1 V' is a voltage; write for example 250 uC/cm2")]
    [InlineData("batch: s\njobs: a.yaml\nvary: {dose: 1 uC/cm2}\nfolder: '{pitch}'\n", "batch.yaml:4:9: error PC0115: 'folder' has a place for 'pitch', which is not varied; known here: job, values, dose")]
    public void Errors_name_place_and_remedy(string yaml, string expected) => Assert.Equal(expected, ErrorOf(yaml));

    [Fact]
    public void Endless_combinations_are_refused()
    {
        string values = string.Join(", ", Enumerable.Range(1, 100).Select(i => $"{i} nm"));
        Assert.Equal(
            "batch.yaml:1:1: error PC6004: the batch has more than 100000 combinations; vary fewer values at once",
            ErrorOf($"batch: s\njobs: a.yaml\nvary: {{line_pitch: [{values}], point_step: [{values}], field: [{values}]}}\n"));
    }

    [Fact]
    public void As_many_combinations_as_are_allowed_are_made()
    {
        string values = string.Join(", ", Enumerable.Range(1, 1000).Select(i => $"{i} nm"));
        string few = string.Join(", ", Enumerable.Range(1, 100).Select(i => $"{i} nm"));
        Assert.Equal(100_000, Parse($"batch: s\njobs: a.yaml\nvary: {{line_pitch: [{values}], point_step: [{few}]}}\n").Entries.Length);

        // 11 · 9091 is one more.
        string many = string.Join(", ", Enumerable.Range(1, 9091).Select(i => $"{i} nm"));
        Assert.StartsWith("batch.yaml:1:1: error PC6004: ", ErrorOf($"batch: s\njobs: a.yaml\nvary: {{line_pitch: [{many}], point_step: [1 nm, 2 nm, 3 nm, 4 nm, 5 nm, 6 nm, 7 nm, 8 nm, 9 nm, 10 nm, 11 nm]}}\n"), StringComparison.Ordinal);
    }

    [Fact]
    public void Shards_share_the_work_without_overlap()
    {
        BatchPlan plan = Parse("batch: s\njobs: a.yaml\nvary: {dose_factor: [1, 2, 3, 4, 5]}\n");
        Assert.Equal([3, 2], new[] { plan.Shard(1, 2).Entries.Length, plan.Shard(2, 2).Entries.Length });
        Assert.Equal(plan.Entries.Select(entry => entry.Name).Order(), plan.Shard(1, 2).Entries.Concat(plan.Shard(2, 2).Entries).Select(entry => entry.Name).Order());
        Assert.All([(0, 2), (3, 2), (1, 0)], shard => Assert.Throws<ArgumentOutOfRangeException>(() => plan.Shard(shard.Item1, shard.Item2)));
    }
}
