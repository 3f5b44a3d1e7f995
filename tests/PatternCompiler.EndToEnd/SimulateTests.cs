using System.Text.Json;

namespace PatternCompiler.EndToEnd;

public sealed class SimulateTests
{
    private const string Square = "layout 1\nunit um\ngrid 1 nm\nlayer a\nrect on a from (-1, -1) to (1, 1)\n";

    [Fact]
    public void A_process_window_is_reported_and_drawn()
    {
        using WorkFolder folder = Built();
        string report = folder.Run("simulate", "a.stream", "--against", "a.layout", "--pixel", "10 nm", "--sweep", "0.4", "--sweep-limit", "20 nm", "--sweep-picture", "w.svg").Expect(0).Output;
        Assert.Contains("process window      ", report, StringComparison.Ordinal);
        Assert.Contains("with all edges moved by +", report, StringComparison.Ordinal);
        Assert.Contains("edge error up to 20 nm", File.ReadAllText(folder["w.svg"]), StringComparison.Ordinal);

        using JsonDocument json = JsonDocument.Parse(
            folder.Run("simulate", "a.stream", "--against", "a.layout", "--pixel", "10 nm", "--sweep", "0.4", "--sweep-limit", "20 nm", "--json").Expect(0).Output);
        JsonElement window = json.RootElement.GetProperty("processWindow");
        Assert.Equal(41, window.GetProperty("doses").GetArrayLength());
        Assert.Equal(0.6, window.GetProperty("doses")[0].GetProperty("doseFactor").GetDouble(), 9);

        // A lone square needs more than the dose of a large area, or its edges moved outward.
        JsonElement best = window.GetProperty("best");
        Assert.True(best.GetProperty("biasNanometres").GetDouble() > 0);
        Assert.True(best.GetProperty("exposureLatitude").GetDouble() > 0.1);
        Assert.True(best.GetProperty("lowestDoseFactor").GetDouble() < best.GetProperty("highestDoseFactor").GetDouble());
    }

    [Fact]
    public void A_sweep_without_a_layout_and_a_picture_without_a_sweep_are_refused()
    {
        using WorkFolder folder = Built();
        Assert.Equal(
            "patternc simulate: error PC0001: --sweep measures edges, and there is no layout to measure them against; add --against with the drawing\n",
            folder.Run("simulate", "a.stream", "--sweep", "0.2").Expect(2).Errors);
        Assert.Equal(
            "patternc simulate: error PC0001: --sweep-picture draws a process window, which is measured with --sweep; add for example --sweep 0.2\n",
            folder.Run("simulate", "a.stream", "--sweep-picture", "w.png").Expect(2).Errors);
    }

    [Theory]
    [InlineData("simulate a.stream --pixel 1e-9nm", "patternc simulate: error PC0001: option '--pixel' takes 0.1 nm to 1000 nm, not '1e-9nm'; see 'patternc simulate --help'\n")]
    [InlineData("simulate a.stream --against a.layout --sweep 0.2 --sweep-limit 1m", "patternc simulate: error PC0001: option '--sweep-limit' takes 0.1 nm to 100 nm, not '1m'; see 'patternc simulate --help'\n")]
    [InlineData("compare a.stream a.stream --cell 1pm", "patternc compare: error PC0001: option '--cell' takes 1 nm to 1000000 nm, not '1pm'; see 'patternc compare --help'\n")]
    public void What_would_never_end_is_refused(string line, string message)
    {
        using var folder = new WorkFolder();
        Assert.Equal(message, folder.Run(line.Split(' ')).Expect(2).Errors);
    }

    [Theory]
    [InlineData("positive", "dissolves", "150 uC/cm2, where a positive resist is gone", 0)]
    [InlineData("negative", "stays", "122.5 uC/cm2, where half of a negative resist remains", 1)]
    public void What_remains_of_the_resist_follows_its_tone(string tone, string does, string printing, float inside)
    {
        using WorkFolder folder = Built().With(
            "p.yaml",
            "process: p\ndose: {area: 300 uC/cm2, line: 1 nC/cm, dot: 10 fC}\n"
            + $"resist: {{tone: {tone}, onset: 100 uC/cm2, clearing: 150 uC/cm2}}\nspread: {{alpha: 59 nm, beta: 4 um, eta: 0.74}}\n");
        folder.Run("build", "a.layout", "-o", "a.stream", "--line-pitch", "8 nm", "--point-step", "8 nm", "--process", "p.yaml", "-q").Expect(0);
        string report = folder.Run("simulate", "a.stream", "--process", "p.yaml", "--pixel", "10 nm", "--thickness", "t.npy", "--map-step", "40 nm").Expect(0).Output;
        Assert.Contains($"1, inside which the resist {does}\nprinted at          {printing}\n", report, StringComparison.Ordinal);
        folder.Run("simulate", "a.stream", "--process", "p.yaml", "--pixel", "10 nm", "--thickness", "t.png").Expect(0);
        Assert.Equal([0x89, (byte)'P', (byte)'N', (byte)'G'], folder.Read("t.png")[..4]);

        // The square's middle lies at the middle of the map, its far outside in the first value.
        byte[] bytes = folder.Read("t.npy");
        int start = 10 + bytes[8] + 256 * bytes[9];
        int side = (int)Math.Sqrt((bytes.Length - start) / sizeof(float));
        Assert.Equal((bytes.Length - start) / sizeof(float), side * side);
        Assert.Equal(inside, BitConverter.ToSingle(bytes, start + sizeof(float) * (side / 2 * side + side / 2)), 3);
        Assert.Equal(1 - inside, BitConverter.ToSingle(bytes, start), 3);
    }

    // Two bars over a seam: as they are drawn nothing is wrong; where one field lands 0.86 um lower than the other, a bar runs into the other one.
    [Fact]
    public void A_stage_error_tells_what_opens_at_a_seam_and_which_nets_break()
    {
        using WorkFolder folder = new WorkFolder()
            .With("bars.layout", "layout 1\nunit um\nlayer a\nrect on a from (-6, 0) to (6, 1)\nrect on a from (-6, 1.6) to (6, 2.6)\n")
            .With("job.yaml", "job: bars\nsources: [bars.layout]\nfields: {size: 8 um, margin: 500 nm}\nnets: {lower: [[-5 um, 0.5 um], [5 um, 0.5 um]], upper: [[-5 um, 2 um]]}\n");
        string[] command = ["simulate", "job.yaml", "--against", "bars.layout", "--pixel", "20 nm", "--limit", "100 nm", "--json"];
        using JsonDocument sound = JsonDocument.Parse(folder.Run(command).Expect(0).Output);
        Assert.All(sound.RootElement.GetProperty("nets").EnumerateArray(), net => Assert.True(net.GetProperty("sound").GetBoolean()));
        JsonElement seam = Assert.Single(sound.RootElement.GetProperty("seams").EnumerateArray());
        Assert.Equal((0, 0), (seam.GetProperty("overlapNanometres").GetDouble(), seam.GetProperty("sidewaysNanometres").GetDouble()));

        Outcome moved = folder.Run([.. command, "--stage-error", "300 nm", "--stage-seed", "3"]).Expect(3);
        Assert.Contains("shape faults: 1 short, 3 opens; net 'lower' has 1 point where nothing prints; net 'upper' has 1 point where nothing prints; see the report and the picture", moved.Errors, StringComparison.Ordinal);
        using JsonDocument broken = JsonDocument.Parse(moved.Output);
        seam = Assert.Single(broken.RootElement.GetProperty("seams").EnumerateArray());
        Assert.Equal((3, 1), (seam.GetProperty("opens").GetInt32(), seam.GetProperty("shorts").GetInt32()));
        Assert.Equal(-861, seam.GetProperty("sidewaysNanometres").GetDouble(), 0.1);
        Assert.Equal([false, false], broken.RootElement.GetProperty("nets").EnumerateArray().Select(net => net.GetProperty("sound").GetBoolean()));
        Assert.Equal(moved.Output, folder.Run([.. command, "--stage-error", "300 nm", "--stage-seed", "3"]).Expect(3).Output);
        Assert.NotEqual(moved.Output, folder.Run([.. command, "--stage-error", "300 nm", "--stage-seed", "4"]).Expect(3).Output);
    }

    [Fact]
    public void A_window_shows_and_measures_only_its_part()
    {
        using WorkFolder folder = Built();
        string[] common = ["simulate", "a.stream", "--against", "a.layout", "--json"];
        using JsonDocument all = JsonDocument.Parse(folder.Run(common).Expect(0).Output);
        using JsonDocument part = JsonDocument.Parse(folder.Run([.. common, "--window", "1 um, 0 um, 1 um", "--picture", "w.svg"]).Expect(0).Output);
        JsonElement edges = part.RootElement.GetProperty("edges");
        Assert.InRange(edges.GetProperty("samples").GetInt64(), 60, 100);
        Assert.True(all.RootElement.GetProperty("edges").GetProperty("samples").GetInt64() > 5 * 60);

        // The background of what lies outside still counts.
        Assert.Equal(all.RootElement.GetProperty("edges").GetProperty("meanNanometres").GetDouble(), edges.GetProperty("meanNanometres").GetDouble(), 1.5);
        Assert.Contains("<svg", File.ReadAllText(folder["w.svg"]), StringComparison.Ordinal);
        Assert.True(part.RootElement.GetProperty("stepXNanometres").GetDouble() > 0);
    }

    [Fact]
    public void Documents_of_different_stages_are_compared_by_what_they_would_print()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Square).With("b.layout", Square.Replace("(1, 1)", "(1.02, 1)", StringComparison.Ordinal));
        folder.Run("build", "a.layout", "-o", "a.stream", "-q").Expect(0);
        string[] print = ["--print", "--pixel", "10 nm"];
        Assert.Equal(2, folder.Run("compare", "a.stream", "a.layout").Expect(2).ExitCode);
        folder.Run(["compare", "a.stream", "a.layout", .. print, "--tolerance", "1 nm"]).Expect(0);
        Outcome moved = folder.Run(["compare", "a.stream", "b.layout", .. print, "--tolerance", "5 nm", "--json", "--picture", "d.png"]).Expect(1);
        using JsonDocument json = JsonDocument.Parse(moved.Output);
        Assert.Equal("print", json.RootElement.GetProperty("kind").GetString());
        JsonElement layer = json.RootElement.GetProperty("layers")[0];
        Assert.InRange(layer.GetProperty("edgeShiftNanometres").GetDouble(), 15, 25);
        Assert.InRange(layer.GetProperty("differentSquareNanometres").GetDouble(), 30_000, 50_000);
        Assert.Contains("d.png", folder.Entries);
        Assert.Contains("--pixel belongs to a prediction; add --print", folder.Run("compare", "a.stream", "a.layout", "--pixel", "5 nm").Expect(2).Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void Estimates_hold_each_figures_charge_against_what_it_asks_for()
    {
        using WorkFolder folder = Built();
        folder.Run("fracture", "a.layout", "-o", "a.figures").Expect(0);
        Outcome outcome = folder.Run("estimate", "a.figures", "--line-pitch", "8 nm", "--point-step", "8 nm", "--json").Expect(0);
        using JsonDocument json = JsonDocument.Parse(outcome.Output);
        JsonElement charge = json.RootElement.GetProperty("figureCharge");
        Assert.Equal(1, charge.GetProperty("figures").GetInt64());
        Assert.InRange(charge.GetProperty("worstTicks").GetDouble(), 0, 0.5);
        Assert.DoesNotContain("charge per figure", folder.Run("estimate", "a.stream").Expect(0).Output, StringComparison.Ordinal);
    }

    private static WorkFolder Built()
    {
        WorkFolder folder = new WorkFolder().With("a.layout", Square);
        folder.Run("build", "a.layout", "-o", "a.stream", "--line-pitch", "8 nm", "--point-step", "8 nm", "-q").Expect(0);
        return folder;
    }
}
