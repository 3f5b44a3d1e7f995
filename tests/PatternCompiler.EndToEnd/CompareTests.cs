using System.Text.Json;

namespace PatternCompiler.EndToEnd;

public sealed class CompareTests
{
    private const string Moved = """
        layout 1
        unit um
        grid 0.1 nm
        layer pads
        layer wires
        rect on pads from (-6, -6) to (-2, -2)
        rect on pads from (-3, -3) to (0.01, 0)
        circle on pads at (3, 3) radius 1.5
        line on wires (-5, 5) (5, 5.5)

        """;

    [Fact]
    public void Same_areas_drawn_otherwise_are_the_same()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        folder.Run("boolean", "a.layout", "-o", "b.layout").Expect(0);
        Outcome outcome = folder.Run("compare", "a.layout", "b.layout").Expect(0);
        Assert.Empty(outcome.Output);
    }

    [Fact]
    public void Two_provenance_files_tell_what_has_changed()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        folder.Run("build", "a.layout", "-q", "-o", "a.stream", "--provenance", "first.json").Expect(0);
        folder.Run("build", "a.layout", "-q", "-o", "a.stream", "--provenance", "second.json", "--current", "60 pA").Expect(0);
        string changed = folder.Run("compare", "first.json", "second.json").Expect(1).Output;
        Assert.Contains("settings.machine.beam.currentAmperes 1E-10 | 6E-11\n", changed, StringComparison.Ordinal);
        Assert.DoesNotContain("settings.job", changed, StringComparison.Ordinal);
        folder.Run("compare", "first.json", "first.json").Expect(0);
        Assert.Equal(
            "error PC3192: 'first.json' tells where outputs come from: there is no picture of that; compare the outputs themselves, or leave --picture out\n",
            folder.Run("compare", "first.json", "second.json", "-o", "report.txt", "--picture", "d.png").Expect(2).Errors);
    }

    [Fact]
    public void A_shifted_edge_is_found_with_place_area_and_distance()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout).With("b.layout", Moved);
        Outcome outcome = folder.Run("compare", "a.layout", "b.layout").Expect(1);
        Assert.StartsWith(
            "layer pads         dose 1: area 31.065 um2 | 31.095 um2, 0.03 um2 differ\n"
            + "                   edges shifted by up to 10 nm, at (0.01, -3) um\n",
            outcome.Output.Replace(Areas(outcome.Output), "31.065 um2 | 31.095 um2", StringComparison.Ordinal),
            StringComparison.Ordinal);
        folder.Run("compare", "a.layout", "b.layout", "--tolerance", "10 nm").Expect(0);
        folder.Run("compare", "a.layout", "b.layout", "--tolerance", "9.9 nm").Expect(1);
        folder.Run("compare", "a.layout", "b.layout", "--picture", "d.png").Expect(1);
        Assert.Contains("d.png", folder.Entries);
    }

    [Fact]
    public void The_first_different_record_and_the_moved_dose_are_told()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout).With("b.layout", Moved);
        folder.Run("build", "a.layout", "-o", "a.stream").Expect(0);
        folder.Run("build", "b.layout", "-o", "b.stream").Expect(0);
        folder.Run("compare", "a.stream", "a.stream").Expect(0);
        Outcome outcome = folder.Run("compare", "a.stream", "b.stream", "--json").Expect(1);
        using JsonDocument json = JsonDocument.Parse(outcome.Output);
        Assert.Equal("records", json.RootElement.GetProperty("kind").GetString());
        Assert.True(json.RootElement.GetProperty("items").GetProperty("differing").GetInt64() > 0);

        // 0.03 of 31 square micrometres were added.
        double moved = json.RootElement.GetProperty("exposure").GetProperty("movedFraction").GetDouble();
        Assert.InRange(moved, 0.0002, 0.002);
    }

    [Fact]
    public void Order_can_be_ignored()
    {
        const string Start = "figures 1\ngrid 100 pm\nlayer \"a\"\n";
        using WorkFolder folder = new WorkFolder()
            .With("a", Start + "rect 0 1 0 0 10 10\ndot 0 1 50 50\nend 2\n")
            .With("b", Start + "dot 0 1 50 50\nrect 0 1 0 0 10 10\nend 2\n");
        Assert.Contains("in any order       the same items\n", folder.Run("compare", "a", "b").Expect(1).Output, StringComparison.Ordinal);
        folder.Run("compare", "a", "b", "--ignore-order").Expect(0);
    }

    [Fact]
    public void A_dose_may_differ_by_a_tolerance()
    {
        const string Start = "figures 1\ngrid 100 pm\nlayer \"a\"\n";
        using WorkFolder folder = new WorkFolder()
            .With("a.figures", Start + "rect 0 1 0 0 10000 10000\nrect 0 1 20000 0 30000 10000\nend 2\n")
            .With("b.figures", Start + "rect 0 1.02 0 0 10000 10000\nrect 0 1 20000 0 30000 10000\nend 2\n");
        folder.Run("fill", "a.figures", "-o", "a.strokes").Expect(0);
        folder.Run("fill", "b.figures", "-o", "b.strokes").Expect(0);

        // One of two equal squares has 2 % more charge: 1 % more in all, 2 / 101 more of a mean cell in each of its cells.
        folder.Run("compare", "a.strokes", "b.strokes").Expect(1);
        folder.Run("compare", "a.strokes", "b.strokes", "--dose-tolerance", "0.05").Expect(0);
        folder.Run("compare", "a.strokes", "b.strokes", "--dose-tolerance", "0.01").Expect(1);
        using JsonDocument json = JsonDocument.Parse(folder.Run("compare", "a.strokes", "b.strokes", "--json").Expect(1).Output);
        JsonElement exposure = json.RootElement.GetProperty("exposure");
        Assert.Equal(1.01, exposure.GetProperty("second").GetDouble() / exposure.GetProperty("first").GetDouble(), 6);
    }

    [Fact]
    public void Every_kind_of_document_has_a_picture_of_the_difference()
    {
        // A pad that has grown, and a circle that has shrunk.
        using WorkFolder folder = new WorkFolder()
            .With("a.layout", Patterns.Layout)
            .With("b.layout", Moved.Replace("radius 1.5", "radius 1.4", StringComparison.Ordinal).Replace("(0.01, 0)", "(0.1, 0)", StringComparison.Ordinal));
        folder.Run("build", "a.layout", "--keep", "stages").Expect(0);
        folder.Run("build", "b.layout", "--keep", "stages").Expect(0);
        foreach (string kind in (string[])["layout", "figures", "strokes", "records", "stream"])
        {
            string below = kind == "stream" ? "" : "stages/";
            folder.Run("compare", $"{below}a.{kind}", $"{below}b.{kind}", "--picture", "d.svg").Expect(1);
            System.Xml.Linq.XDocument picture = System.Xml.Linq.XDocument.Parse(System.Text.Encoding.UTF8.GetString(folder.Read("d.svg")));
            Assert.StartsWith($"a.{kind} | b.{kind} · difference", picture.Root!.Elements().First(element => element.Name.LocalName == "title").Value, StringComparison.Ordinal);

            // In both, in the first and in the second: each has its colour in the legend.
            string text = picture.ToString();
            Assert.All((string[])["#366fa9", "#d17809", "#44a590"], colour => Assert.Contains(colour, text, StringComparison.OrdinalIgnoreCase));
        }

        folder.Run("compare", "a.stream", "b.stream", "--picture", "d.png").Expect(1);
        Assert.Equal(0x89, folder.Read("d.png")[0]);
    }

    [Fact]
    public void A_picture_of_what_can_be_read_only_once_is_refused()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        Outcome outcome = folder.Pipe(folder.Read("a.layout"), "compare", "a.layout", "-", "--picture", "d.png").Expect(2);
        Assert.Equal("patternc compare: error PC0001: --picture needs two files: standard input can be read only once; save the document first\n", outcome.Errors);
        Assert.Equal(["a.layout"], folder.Entries);
    }

    [Fact]
    public void Trouble_is_not_a_difference()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout).With("b", "nonsense");
        folder.Run("compare", "a.layout", "b").Expect(2);
        folder.Run("compare", "a.layout", "c").Expect(4);
    }

    // The polygon of the circle decides the last digits of the areas.
    private static string Areas(string report) => report[report.IndexOf("area ", StringComparison.Ordinal)..].Split(',')[0]["area ".Length..];
}
