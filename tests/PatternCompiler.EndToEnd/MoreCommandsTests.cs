using System.Text.Json;

namespace PatternCompiler.EndToEnd;

public sealed class MoreCommandsTests
{
    [Fact]
    public void Offset_moves_edges_by_its_distance()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", "layout 1\nunit um\ngrid 0.1 nm\nlayer a\nrect on a from (0, 0) to (10, 5)\n");
        folder.Run("offset", "a.layout", "--by", "-100nm", "-o", "b.layout").Expect(0);

        // (10 - 0.2) x (5 - 0.2)
        string report = folder.Run("compare", "a.layout", "b.layout").Expect(1).Output;
        Assert.Contains("area 50 um2 | 47.04 um2, 2.96 um2 differ", report, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("dxf", "pads")]
    [InlineData("gds", "1/0")]
    public void A_written_drawing_reads_back_as_the_same_areas(string format, string layer)
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", $"layout 1\nunit um\ngrid 1 nm\nlayer {layer}\npolygon on {layer} (0, 0) (10, 0) (10, 5) (3, 7)\n");
        folder.Run("export", "a.layout", "-o", $"b.{format}").Expect(0);
        folder.Run("parse", $"b.{format}", "--grid", "1 nm", "-o", "b.layout").Expect(0);
        Assert.Empty(folder.Run("compare", "a.layout", "b.layout").Expect(0).Output);
    }

    [Fact]
    public void A_ring_drawn_as_two_circles_is_a_ring_on_request()
    {
        const string Circles = "0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n8\nr\n10\n0\n20\n0\n40\n5\n0\nCIRCLE\n8\nr\n10\n0\n20\n0\n40\n3\n0\nENDSEC\n0\nEOF\n";
        using WorkFolder folder = new WorkFolder().With("a.dxf", Circles)
            .With("ring.layout", "layout 1\nunit um\nlayer r\nring on r at (0, 0) inner 3 outer 5\n")
            .With("disc.layout", "layout 1\nunit um\nlayer r\ncircle on r at (0, 0) radius 5\n");
        folder.Run("parse", "a.dxf", "--unit", "um", "--nested-outlines", "holes", "-o", "a.layout").Expect(0);
        Assert.Empty(folder.Run("compare", "a.layout", "ring.layout").Expect(0).Output);
        folder.Run("parse", "a.dxf", "--unit", "um", "-o", "b.layout").Expect(0);
        Assert.Empty(folder.Run("compare", "b.layout", "disc.layout").Expect(0).Output);
    }

    [Fact]
    public void A_spacing_that_is_left_open_is_chosen_and_explained()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        string[] open = ["--line-pitch", "automatic", "--point-step", "automatic"];
        folder.Run("fracture", "a.layout", "-o", "a.figures").Expect(0);
        Outcome filled = folder.Run(["fill", "a.figures", "-o", "a.strokes", .. open]).Expect(0);
        Assert.Contains("note PC1208: layer pads: line pitch 11 codes (16.8 nm), point step 4 codes (6.1 nm): points of 3.07 us", filled.Errors, StringComparison.Ordinal);
        Assert.Contains("the pitch is ruled by the deflection's lag, the step by the spot", filled.Errors, StringComparison.Ordinal);

        folder.Run(["build", "a.layout", "-o", "built.records", "--format", "records", .. open]).Expect(0);
        folder.Run("scale", "a.strokes", "-o", "a.records").Expect(0);
        Assert.Equal(folder.Read("a.records"), folder.Read("built.records"));

        using JsonDocument json = JsonDocument.Parse(folder.Run(["estimate", "a.layout", "--json", .. open]).Expect(0).Output);
        JsonElement pads = json.RootElement.GetProperty("chosenSpacings")[0];
        Assert.Equal("deflection lag", pads.GetProperty("linePitchRuledBy").GetString());
        Assert.Equal(11, pads.GetProperty("chosen").GetProperty("linePitchCodes").GetInt32());
        Assert.Equal("deflection lag", pads.GetProperty("finer").GetProperty("breaks").GetString());
        Assert.Equal(JsonValueKind.Null, pads.GetProperty("coarser").GetProperty("breaks").ValueKind);
        Assert.InRange(json.RootElement.GetProperty("figureCharge").GetProperty("worstTicks").GetDouble(), 0, 0.5001);

        Outcome refused = folder.Run(["fill", "a.figures", "-o", "b.strokes", "--current", "1 uA", .. open]).Expect(1);
        Assert.Contains("error PC1209: no spacing meets all limits on layer pads", refused.Errors, StringComparison.Ordinal);
        Assert.Contains("lower the beam current to 300 pA or less", refused.Errors, StringComparison.Ordinal);

        // That is for all layers: this one could have 520 pA, another could not.
        refused = folder.Run(["fill", "a.figures", "-o", "b.strokes", "--current", "520 pA", .. open]).Expect(1);
        Assert.Contains(
            "on layer wires: whatever the point step, single lines would mean a beam that lags 17.3 nm behind, more than half the spot of 20 nm; lower the beam current to 300 pA or less",
            refused.Errors,
            StringComparison.Ordinal);
        folder.Run(["fill", "a.figures", "-o", "b.strokes", "--current", "300 pA", .. open]).Expect(0);
    }

    [Fact]
    public void A_simulated_square_prints_where_it_is_drawn()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", "layout 1\nunit um\ngrid 1 nm\nlayer a\nrect on a from (-1, -1) to (1, 1)\n");
        folder.Run("build", "a.layout", "-o", "a.stream", "--line-pitch", "8 nm", "--point-step", "8 nm", "-q").Expect(0);
        Outcome outcome = folder.Run("simulate", "a.stream", "--against", "a.layout", "--json", "--picture", "a.png", "--contours", "c.layout", "--map", "m.npy").Expect(0);
        using JsonDocument json = JsonDocument.Parse(outcome.Output);
        Assert.Equal(0, json.RootElement.GetProperty("shapes").GetProperty("faults").GetArrayLength());
        Assert.True(json.RootElement.GetProperty("edges").GetProperty("samples").GetInt64() > 100);

        // 4 um2 at 300 uC/cm2 are 12 pC.
        Assert.Equal(12e-12, json.RootElement.GetProperty("chargeCoulombs").GetDouble(), 1e-14);
        Assert.Contains("c.layout", folder.Entries);
        Assert.Equal(0x93, folder.Read("m.npy")[0]);
        Outcome judged = folder.Run("simulate", "a.stream", "--against", "a.layout", "--limit", "0.01 nm").Expect(3);
        Assert.Contains("error PC0014: the worst edge is off by ", judged.Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void A_batch_builds_only_what_has_changed_and_lists_failures()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        foreach (string name in new[] { "one", "two", "bad" })
        {
            folder.With($"{name}.yaml", $"job: {name}\nsources: [{(name == "bad" ? "missing" : "a")}.layout]\noutputs:\n  - {{file: out/{name}.stream, format: stream}}\n");
        }

        Outcome first = folder.Run("batch", "*.yaml", "--parallel", "2").Expect(4);
        Assert.EndsWith("2 built, 0 up to date, 1 failed\n", first.Errors, StringComparison.Ordinal);
        Assert.Contains("failed bad.yaml\nmissing.layout: error PC0002: there is no such file", first.Errors, StringComparison.Ordinal);
        File.Delete(folder["bad.yaml"]);
        Outcome second = folder.Run("batch", "*.yaml", "--explain", "--depfile", "d.mk").Expect(0);
        Assert.EndsWith("0 built, 2 up to date, 0 failed\n", second.Errors, StringComparison.Ordinal);
        Assert.Contains("out/one.stream: ", File.ReadAllText(folder["d.mk"]), StringComparison.Ordinal);
        folder.With("a.layout", Patterns.Layout + "dot on pads at (0, 5)\n");
        Outcome third = folder.Run("batch", "one.yaml", "--explain").Expect(0);
        Assert.Contains("built one.yaml: ", third.Errors, StringComparison.Ordinal);
        Assert.EndsWith("1 built, 0 up to date, 0 failed\n", third.Errors, StringComparison.Ordinal);
        folder.Run("batch", "one.yaml", "--shard", "3/2").Expect(2);
    }

    [Fact]
    public void Correct_evens_out_the_edges_and_says_how_well()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        Outcome outcome = Executable.Shell(folder.Path, "set -o pipefail; patternc fracture a.layout | patternc correct -o c.figures").Expect(0);
        Assert.Matches(@"^proximity correction: factors 0\.\d+ to \d", outcome.Errors);
        Assert.Contains("remaining error of figures:\n", outcome.Errors, StringComparison.Ordinal);
        folder.Run("fill", "c.figures").Expect(0);
    }

    [Fact]
    public void Estimate_speaks_json_and_is_strict_of_losses_alone()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        using JsonDocument json = JsonDocument.Parse(folder.Run("estimate", "a.layout", "--json").Expect(0).Output);
        Assert.True(json.RootElement.GetProperty("time").GetProperty("totalSeconds").GetDouble() > 0.1);

        // Strict is about what is lost or added: an uneven dose is neither.
        Assert.Contains("warning PC3003: ", folder.Run("estimate", "a.layout", "--strict", "--line-pitch", "200 nm").Expect(0).Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_test_pattern_draws_and_builds()
    {
        using var folder = new WorkFolder();
        foreach (string line in folder.Run("generate").Expect(0).Output.TrimEnd('\n').Split('\n'))
        {
            string name = line.Split(' ')[0];
            if (name is "bring-up" or "looks")
            {
                // A folder of streams, and looks at the marks of a job: they have tests of their own.
                continue;
            }

            // These draw nothing: they hold the outputs for a voltmeter, and switch the blank line for a current meter.
            bool isDrawn = name is not ("converter-readings" or "blanker-readings");
            folder.Run(["generate", name, "-o", isDrawn ? "a.layout" : "a.records", .. name == "blanker-readings" ? (string[])["--hold", "0.01 s"] : []]).Expect(0);
            folder.Run(isDrawn ? ["fracture", "a.layout", "-o", "a.figures", "-q"] : ["emit", "a.records", "-o", "a.stream", "-q"]).Expect(0);
        }
    }

    // Written at the built-in dose in a resist that spreads the beam, capitals of 1 um keep every letter apart and every
    // counter open: as many outlines and holes are printed as are drawn.
    [Fact]
    public void Lettering_of_1_um_is_readable_in_the_resist()
    {
        using WorkFolder folder = new WorkFolder().With(
            "a.layout", "layout 1\nunit um\nlayer labels\ntext \"0123456789./ABDOPQR nm\" on labels at (0, 0) height 1 width 0.125 ends round\n");
        folder.Run("build", "a.layout", "--line-pitch", "10 nm", "--point-step", "10 nm", "-o", "a.stream").Expect(0);
        string drawn = folder.Run("boolean", "a.layout").Expect(0).Output;
        using JsonDocument json = JsonDocument.Parse(folder.Run("simulate", "a.stream", "--json").Expect(0).Output);
        int outlines = System.Text.RegularExpressions.Regex.Count(drawn, @"^polygon |^  (part|hole) ", System.Text.RegularExpressions.RegexOptions.Multiline);
        Assert.InRange(outlines, 25, 45);
        Assert.Equal(outlines, json.RootElement.GetProperty("printedOutlines").GetInt32());
    }
}
