using System.Text.Json;

namespace PatternCompiler.EndToEnd;

/// <summary>A second layer on a first, by the example's steps: the look, the marks, the alignment, the exposure, and what refuses what.</summary>
public sealed class SecondLayerTests
{
    private static readonly string[] Pictures = ["SW=sw.png", "SE=se.png", "E=e.png", "W=w.png", "N=n.png"];

    [Fact]
    public void The_example_holds_what_its_marks_gave()
    {
        using WorkFolder folder = Example();
        Outcome fitted = Fit(folder);
        Assert.Matches(@"^warning PC4062: mark 'E' is left out: it lies \(\S+, \S+\) nm from where the other 4 put it; ", fitted.Errors);
        Assert.Equal(File.ReadAllText(folder["second-layer/alignment.yaml"]), fitted.Output);
        Assert.Contains("marks.png", File.ReadAllText(folder["second-layer/README.md"]), StringComparison.Ordinal);
    }

    [Fact]
    public void The_look_says_its_dose_and_a_longer_one_is_refused()
    {
        using WorkFolder folder = Example();
        Outcome look = folder.Run("generate", "looks", "--job", "second-layer/look.yaml", "-o", "looks.records").Expect(0);
        Assert.Contains(
            "note PC1801: 5 windows of 150 x 150 points; 2 looks bring 55.56 uC/cm2, 0.48 of the onset of the resist; the look's dose on the device is 0: no window, grown by 2.9 um, meets what either layer writes\n",
            look.Errors, StringComparison.Ordinal);
        string job = File.ReadAllText(folder["second-layer/look.yaml"]);
        File.WriteAllText(folder["second-layer/look.yaml"], job.Replace("looks: 2", "looks: 3", StringComparison.Ordinal));
        Assert.StartsWith(
            "second-layer/look.yaml: error PC1803: 3 looks bring 83.33 uC/cm2, 0.72 of the onset of the resist, and half of the onset is the most; dwell no longer than ",
            folder.Run("generate", "looks", "--job", "second-layer/look.yaml").Expect(1).Errors, StringComparison.Ordinal);
        File.WriteAllText(folder["second-layer/look.yaml"], job.Replace("W: [-38 um, 12.4 um]", "W: [-12 um, 10 um]", StringComparison.Ordinal));
        Assert.StartsWith("second-layer/look.yaml: error PC1804: around mark 'W' layer 'marks' has no cross", folder.Run("generate", "looks", "--job", "second-layer/look.yaml").Expect(1).Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void Samples_and_points_must_be_as_many()
    {
        using WorkFolder folder = Example().With("samples.csv", "sample\n1\n2\n3\n");
        Assert.Equal(
            "samples.csv: error PC1805: the table has 3 samples, and the look has 112500 points (5 windows of 150 x 150); record while the scan-enable line is up, one sample a point; the job must be the one that the look was made with\n",
            folder.Run("locate", "samples.csv", "--job", "second-layer/look.yaml").Expect(1).Errors);
        Assert.StartsWith(
            "patternc locate: error PC0001: the job looks at no mark 'X'; its marks are SW, SE, E, W, N\n", folder.Run("locate", "--picture", "X=second-layer/e.png", "--job", "second-layer/look.yaml").Expect(2).Errors, StringComparison.Ordinal);
    }

    /// <summary>A picture that shows something else leaves its mark out; of four, three are left, and the fit says what that means.</summary>
    [Fact]
    public void A_picture_that_fails_leaves_its_mark_out_by_name()
    {
        using WorkFolder folder = Example();
        Outcome located = folder.Run(
            ["locate", "--picture", "SW=second-layer/sw.png", "--picture", "SE=second-layer/se.png", "--picture", "N=second-layer/n.png", "--picture", "W=dose-test/dose.png", "--job", "second-layer/look.yaml", "-o", "marks.csv"]).Expect(0);
        Assert.Contains("warning PC1806: mark 'W' was not found: ", located.Errors, StringComparison.Ordinal);
        Outcome fitted = folder.Run("fit", "alignment", "marks.csv", "--model", "affine").Expect(0);
        Assert.Contains("note PC4061: mark 'W' was not found and is left out\n", fitted.Errors, StringComparison.Ordinal);
        Assert.Contains("warning PC4006: 3 marks leave none to spare, so the quality of the alignment is unknown", fitted.Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void The_stream_is_judged_with_its_alignment_and_says_it_in_the_provenance()
    {
        using WorkFolder folder = Example();
        folder.Run("build", "second-layer/pads.yaml").Expect(0);
        using JsonDocument json = JsonDocument.Parse(File.ReadAllBytes(folder["second-layer/out/pads.json"]));
        Assert.Contains(json.RootElement.GetProperty("inputs").EnumerateArray(), file => file.GetProperty("name").GetString() == "alignment.yaml");
        JsonElement whole = json.RootElement.GetProperty("settings").GetProperty("job").GetProperty("alignment").GetProperty("layers").GetProperty("whole");
        Assert.InRange(whole.GetProperty("xx").GetDouble(), 1.003, 1.005);

        // Replayed through the same alignment, the pads lie where they are drawn; through the bare machine they are refused.
        using JsonDocument printed = JsonDocument.Parse(folder.Run(
            "simulate", "second-layer/out/pads.stream", "--job", "second-layer/pads.yaml", "--against", "second-layer/pads.layout", "--pixel", "20 nm", "--json").Expect(0).Output);
        Assert.InRange(Math.Abs(printed.RootElement.GetProperty("edges").GetProperty("meanNanometres").GetDouble()), 0, 10);
        Assert.Contains(
            "made for another machine", folder.Run("simulate", "second-layer/out/pads.stream", "--machine", "humidity-sensor/machine-16bit.yaml", "--process", "dose-test/process-fitted.yaml").Expect(1).Errors, StringComparison.Ordinal);
    }

    private static WorkFolder Example()
    {
        var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples", ".");
        return folder;
    }

    private static Outcome Fit(WorkFolder folder)
    {
        folder.Run(["locate", .. Pictures.SelectMany(picture => new[] { "--picture", picture.Replace("=", "=second-layer/", StringComparison.Ordinal) }), "--job", "second-layer/look.yaml", "-o", "marks.csv"]).Expect(0);
        return folder.Run("fit", "alignment", "marks.csv").Expect(0);
    }
}
