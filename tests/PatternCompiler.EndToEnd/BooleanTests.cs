namespace PatternCompiler.EndToEnd;

public sealed class BooleanTests
{
    private const string Old = "layout 1\nunit um\nlayer pads\nlayer fingers\nrect on pads from (0, 0) to (3, 2)\nrect on fingers from (2, 1) to (5, 2)\n";
    private const string New = "layout 1\nunit um\nlayer pads\nrect on pads from (0, 0) to (3, 2.5)\n";

    [Fact]
    public void An_area_in_words_is_the_opposite_tone_within_a_frame()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Old);
        Outcome outcome = folder.Run("boolean", "a.layout", "--area", "bare = frame 1 um around pads without (pads with fingers)").Expect(0);
        Assert.Contains(
            "layer bare\n\ncell merged\n  polygon on bare rule nonzero (-1, -1) (4, -1) (4, 1) (3, 1) (3, 0) (0, 0) (0, 2) (4, 2) (4, 3) (-1, 3)\nend\n",
            outcome.Output);
        Assert.DoesNotContain("layer pads", outcome.Output);
    }

    [Fact]
    public void Two_drawings_are_compared_by_their_layers()
    {
        using WorkFolder folder = new WorkFolder().With("old.layout", Old).With("new.layout", New);
        Outcome outcome = folder.Run("boolean", "old.layout", "--beside", "new- = new.layout", "--xor", "changed=pads,new-pads").Expect(0);
        Assert.EndsWith("layer changed\n\npolygon on changed rule nonzero (0, 2) (3, 2) (3, 2.5) (0, 2.5)\n", outcome.Output);
    }

    [Fact]
    public void What_is_no_area_is_told()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Old);
        Assert.Equal(
            "error PC0123: '--area' is 'pads whith fingers': expected 'with', 'without', 'inside', 'xor', 'grown' or 'shrunk', found 'whith fingers'; " +
            "write for example pads with fingers without holes\n",
            folder.Run("boolean", "a.layout", "--area", "x=pads whith fingers").Expect(1).Errors);
        Assert.Contains("option '--area' takes RESULT=AREA, not '=pads'", folder.Run("boolean", "a.layout", "--area", "=pads").Expect(2).Errors);
    }

    [Fact]
    public void Smoothing_leaves_out_points_of_over_sampled_curves()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", "layout 1\nunit um\nlayer a\ncircle on a at (0, 0) radius 1\n");
        int fine = folder.Run("fracture", "a.layout", "--chord-error", "0.2 nm").Expect(0).Output.Split('\n').Length;
        int smoothed = folder.Run("fracture", "a.layout", "--chord-error", "0.2 nm", "--smoothing", "10 nm").Expect(0).Output.Split('\n').Length;
        Assert.InRange(smoothed, 10, fine / 2);
    }
}
