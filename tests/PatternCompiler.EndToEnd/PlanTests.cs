using System.Text.Json;

namespace PatternCompiler.EndToEnd;

public sealed class PlanTests
{
    private const string Beams = "# as measured\ncurrent [pA], spot [nm]\n200, 20\n1000, 35\n30000, 150\n";
    private const string Fields = "field [um], magnification\n50, 2000\n100, 1000\n";

    private static readonly string[] Lab =
    [
        "--machine", Path.Combine(Repository.Root, "examples", "humidity-sensor", "machine-16bit.yaml"), "--process", Path.Combine(Repository.Root, "examples", "humidity-sensor", "process.yaml"), "-q",
    ];

    [Fact]
    public void What_the_microscope_offers_is_ranked_with_what_rules_each_row()
    {
        using WorkFolder folder = new WorkFolder().With("beams.csv", Beams).With("fields.csv", Fields);
        Outcome outcome = folder.Run(["plan", "--feature", "120 nm", "--beams", "beams.csv", "--fields", "fields.csv", .. Lab]).Expect(0);
        Assert.Equal(
            """
            smallest feature 120 nm; times are of an area of 100 um x 100 um, settling, link and stage not counted
            row  current  spot   in resist  field   magnification  line pitch          point step          dwell    beam on     electrons a point  dose noise  ripple  ruled by
            1    1 nA     35 nm  104 nm     50 um   2000           39 codes (29.8 nm)  20 codes (15.3 nm)  1.27 us  28 s        7935               0.2%        0%      the shortest dwell
            2    1 nA     35 nm  104 nm     100 um  1000           20 codes (30.5 nm)  10 codes (15.3 nm)  1.3 us   28 s        8138               0.2%        0%      the shortest dwell
            3    200 pA   20 nm  100 nm     50 um   2000           13 codes (9.92 nm)  12 codes (9.16 nm)  1.27 us  2 min 20 s  1587               0.2%        0%      the shortest dwell
            4    200 pA   20 nm  100 nm     100 um  1000           7 codes (10.7 nm)   6 codes (9.16 nm)   1.37 us  2 min 20 s  1709               0.2%        0%      the shortest dwell
            not 30 nA, 150 nm in a field of 50 um: the beam is 179 nm wide in the resist, wider than the feature
            not 30 nA, 150 nm in a field of 100 um: the beam is 179 nm wide in the resist, wider than the feature

            """,
            outcome.Output);
    }

    /// <summary>What a row says, put into job and machine, builds; its spacings are those that 'automatic' takes there.</summary>
    [Fact]
    public void A_rows_settings_build_the_drawing()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout).With("beams.csv", Beams);
        string fragment = folder.Run(["plan", "a.layout", "--feature", "200 nm", "--beams", "beams.csv", "--row", "1", .. Lab]).Expect(0).Output;
        Assert.StartsWith("# Row 1: beam on for ", fragment, StringComparison.Ordinal);
        string[] machine = [.. fragment.Split('\n').Where(line => line.StartsWith("#   ", StringComparison.Ordinal)).Select(line => line[4..])];
        Assert.Equal(["deflection: {field: 100 um}", "beam: {current: 1000 pA, spot: 35 nm}"], machine);
        string settings = File.ReadAllText(Lab[1]).Replace("current: 200 pA", "current: 1000 pA", StringComparison.Ordinal).Replace("spot: 20 nm", "spot: 35 nm", StringComparison.Ordinal);
        folder.With("machine.yaml", settings).With("job.yaml", $"job: a\nmachine: machine.yaml\nprocess: {Lab[3]}\nsources: [a.layout]\noutputs: [{{file: a.stream, format: stream}}]\n{fragment}");
        folder.Run("build", "job.yaml", "-q").Expect(0);

        folder.Run(["build", "a.layout", "--machine", "machine.yaml", "--process", Lab[3], "--line-pitch", "automatic", "--point-step", "automatic", "-o", "b.stream", "-q"]).Expect(0);
        Assert.Equal(folder.Read("b.stream"), folder.Read("a.stream"));
    }

    /// <summary>Spacings hold for a strategy: where it is not the usual one, the settings of a row state it.</summary>
    [Fact]
    public void A_rows_settings_keep_the_strategy_they_hold_for()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", "layout 1\nunit um\nlayer a\nrect on a at (0, 0) size (5, 5)\n").With("beams.csv", Beams);
        string Fill(params string[] more) => Assert.Single(
            folder.Run(["plan", "a.layout", "--feature", "200 nm", "--beams", "beams.csv", "--row", "1", .. more, .. Lab]).Expect(0).Output.Split('\n'), line => line.StartsWith("fill: ", StringComparison.Ordinal));
        Assert.StartsWith("fill: {line_pitch: ", Fill(), StringComparison.Ordinal);
        Assert.StartsWith("fill: {strategy: one-way raster, line_pitch: ", Fill("--strategy", "one-way-raster"), StringComparison.Ordinal);
    }

    [Fact]
    public void A_script_gets_everything_and_wrong_questions_are_told()
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout).With("beams.csv", Beams).With("wrong.csv", "current [pA], spot\n200, 20\n");
        using JsonDocument json = JsonDocument.Parse(folder.Run(["plan", "a.layout", "--feature", "150 nm", "--beams", "beams.csv", "--json", .. Lab]).Expect(0).Output);
        JsonElement[] rows = [.. json.RootElement.GetProperty("rows").EnumerateArray()];
        Assert.Equal([true, true, false], rows.Select(row => row.GetProperty("canBeWritten").GetBoolean()));
        Assert.Equal(1e-9, rows[0].GetProperty("currentAmperes").GetDouble());
        Assert.Equal("shortest dwell", rows[1].GetProperty("layers")[0].GetProperty("linePitchRuledBy").GetString());

        Assert.Equal(
            "wrong.csv:1: error PC4001: the column 'spot' needs a length as its unit; name it 'spot [nm]'\n",
            folder.Run(["plan", "--feature", "150 nm", "--beams", "wrong.csv", .. Lab]).Expect(1).Errors);
        Assert.Equal(
            "patternc plan: error PC0001: the plan has 2 rows that can be written; leave --row out to see the table\n",
            folder.Run(["plan", "--feature", "150 nm", "--beams", "beams.csv", "--row", "3", .. Lab]).Expect(2).Errors);
        Assert.Equal(
            "patternc plan: error PC0001: no row of the plan can be written; leave --row out to see the table\n",
            folder.Run(["plan", "--feature", "15 nm", "--row", "1", .. Lab]).Expect(2).Errors);
        folder.Run("build", "a.layout", "-o", "a.stream", "-q").Expect(0);
        Assert.Equal(
            "a.stream: error PC0702: this document is later than figures; name a job file, a drawing or figures\n",
            folder.Run(["plan", "a.stream", "--feature", "150 nm", .. Lab]).Expect(1).Errors);
    }
}
