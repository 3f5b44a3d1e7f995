namespace PatternCompiler.EndToEnd;

/// <summary>Messages of every command name the drawing, and after a build with <c>--places</c> those about its outputs, too.</summary>
public sealed class PlacesTests
{
    private const string Drawing = """
        layout 1
        unit um
        layer a
        layer tiny
        cell pad
          rect on tiny at (1, 2) size (0.002, 0.002)
        end
        rect on a from (0, 0) to (4, 2)
        array pad at (10, 5) rotate 90 columns 2 column-step 8

        """;

    private const string LeftOut =
        "(rect on layer tiny, placed by array in line 9 (column 1), figure 1 at (7.999, 6.001) um): warning PC1285: 2 figures need less than half of the shortest dwell and are not written, first figure 1; lower the beam current\n";

    [Fact]
    public void A_stage_alone_names_the_drawing_by_the_places_of_the_build()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Drawing);
        Assert.StartsWith("a.layout:6 " + LeftOut, folder.Run("build", "a.layout", "-o", "a.stream", "--keep", "k", "--places", "a.places").Expect(0).Errors, StringComparison.Ordinal);
        string same = folder.Run("fill", "k/a.figures", "--places", "a.places", "-q", "-o", "b.strokes").Expect(0).Errors;
        Assert.Equal("a.layout:6 " + LeftOut, same);
        Assert.Equal(
            "figure 1 on layer tiny at (7.999, 6.001) um: warning PC1285: 2 figures need less than half of the shortest dwell and are not written, first figure 1; lower the beam current\n",
            folder.Run("fill", "k/a.figures", "-q", "-o", "b.strokes").Expect(0).Errors);
        Assert.Matches(
            "^a\\.layout:8 \\(rect on layer a, figure 0 at \\([0-4][0-9.]*, [0-2][0-9.]*\\) um\\): error PC1402: ",
            folder.Run("scale", "k/a.strokes", "--places", "a.places", "--current", "30 nA", "-q", "-o", "b.records").Expect(1).Errors);
    }

    [Fact]
    public void Places_of_another_build_and_of_a_pipe_are_refused()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Drawing);
        folder.Run("build", "a.layout", "-q", "-o", "a.stream", "--places", "a.places").Expect(0);
        folder.Run("build", "a.layout", "-q", "-o", "a.stream", "--current", "90 pA").Expect(0);
        Assert.Equal(
            "a.places: error PC0070: these places belong to 'a.stream', and 'a.stream' is none of them as they were written; build again with --places, and give the file that this build writes\n",
            folder.Run("estimate", "a.stream", "--places", "a.places", "-q").Expect(2).Errors);
        Assert.Equal(
            "a.places: error PC0072: the places of what comes from a pipe cannot be checked; write the document to a file, and name that\n",
            folder.Pipe(folder.Read("a.stream"), "estimate", "--places", "a.places", "-q").Expect(2).Errors);
        Assert.Equal(
            "a.layout: error PC0071: this is no file of places; name the file that 'patternc build --places' has written\n",
            folder.Run("estimate", "a.stream", "--places", "a.layout", "-q").Expect(1).Errors);
        Assert.Equal(
            "a.places: error PC0001: --places is for what a build has made, and messages about a drawing name it anyway; leave the option out\n",
            folder.Run("estimate", "a.layout", "--places", "a.places", "-q").Expect(2).Errors);
    }

    [Fact]
    public void Outputs_are_the_same_with_and_without_places()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Drawing);
        folder.Run("build", "a.layout", "-q", "-o", "a.stream", "--keep", "k", "--places", "a.places").Expect(0);
        folder.Run("build", "a.layout", "-q", "-o", "b.stream", "--keep", "l").Expect(0);
        Assert.Equal(folder.Read("a.stream"), folder.Read("b.stream"));
        foreach (string ending in new[] { "layout", "figures", "strokes", "records" })
        {
            Assert.Equal(folder.Read($"k/a.{ending}"), folder.Read($"l/a.{ending}"));
        }
    }

    [Fact]
    public void JSON_carries_the_place()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Drawing.Replace("rect on tiny at (1, 2) size (0.002, 0.002)", "line on tiny dose 0.0001 (1, 2) (4, 2)", StringComparison.Ordinal));
        string json = folder.Run("estimate", "a.layout", "-q", "--json").Expect(0).Output;
        Assert.Contains(
            "      \"where\": {\n        \"file\": \"a.layout\",\n        \"line\": 6,\n        \"entity\": \"line on layer tiny, placed by array in line 9 (column ",
            json,
            StringComparison.Ordinal);
        Assert.Contains("\"xNanometres\": ", json, StringComparison.Ordinal);
    }
}
