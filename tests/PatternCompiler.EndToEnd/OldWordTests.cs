namespace PatternCompiler.EndToEnd;

/// <summary>Words of the version before work in this one, and a note names the new word.</summary>
public sealed class OldWordTests
{
    [Theory]
    [InlineData("write", "write a.layout --format dxf", "export a.layout --format dxf", "export")]
    [InlineData("rs274", "emit a.records --format rs274", "emit a.records --format gcode", "gcode")]
    [InlineData("rs274", "emit a.records --format=rs274", "emit a.records --format=gcode", "gcode")]
    [InlineData("--patience", "send a.stream --link port --dry-run --patience 2", "send a.stream --link port --dry-run --timeout 2", "--timeout")]
    [InlineData("--restarts", "send a.stream --link port --dry-run --restarts=2", "send a.stream --link port --dry-run --retries=2", "--retries")]
    public void An_old_word_does_what_the_new_one_does(string old, string before, string after, string now)
    {
        using WorkFolder folder = Pad();
        Outcome inNew = folder.Run(after.Split(' ')).Expect(0);
        Outcome inOld = folder.Run(before.Split(' ')).Expect(0);
        Assert.Equal(inNew.Output, inOld.Output);
        Assert.Equal($"note PC0064: '{old}' is now '{now}'; the old word goes with the next version\n{inNew.Errors}", inOld.Errors);
    }

    [Fact]
    public void An_old_word_in_a_job_is_told_with_its_place()
    {
        using WorkFolder folder = Pad().With("job.yaml", "job: pad\nsources: [a.layout]\noutputs:\n  - {file: a.gcode, format: rs274}\n");
        Assert.StartsWith(
            "job.yaml:4:29: note PC0064: 'rs274' is now 'gcode'; the old word goes with the next version\n", folder.Run("build", "job.yaml").Expect(0).Errors, StringComparison.Ordinal);
        Assert.NotEmpty(folder.Read("a.gcode"));
    }

    private static WorkFolder Pad()
    {
        WorkFolder folder = new WorkFolder().With("a.layout", "layout 1\nunit um\nlayer pads\nrect on pads at (0, 0) size (4, 2)\n");
        folder.Run("build", "a.layout", "--output", "a.stream").Expect(0);
        folder.Run("decode", "a.stream", "-o", "a.records").Expect(0);
        return folder;
    }
}
