using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Plan;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs;

/// <summary>
/// A sheet worked by hand from the definition of dose (M. A. McCord, M. J. Rooks, SPIE Handbook of Microlithography, vol. 1, ch. 2, 1997):
/// t = D·p·s/I, v = I/(D·p), N = D·w²/e, with 250 µC/cm² = 2.5e-18 C/nm², codes of 1 nm, a clock of 10 MHz and a shortest dwell of
/// 5 ticks, of which regular points want 2.5. The even pitch that is widest follows from 2·exp(−2π²σ²/p²) = 0.02: p = 2.07 σ.
/// </summary>
public sealed class WritingPlanTests
{
    private const double Picoampere = 1e-12;

    private static readonly BuildSettings Settings = new(
        DefaultFiles.Job,
        DefaultFiles.Machine with
        {
            Dac = DefaultFiles.Machine.Dac with { Bits = 16 },
            Deflection = new Deflection(65_536, 65_536, false, false, false, AffineCalibration.Identity),
            Clock = new Clock(1e7, 5, 65_535),
            Settle = new SettleModel(1e-5, 0, 0),
            Link = new Link(1e12, 65_536, InterpolatesLines: false),
            Stage = null,
        },
        DefaultFiles.Process with { AreaDoseCoulombsPerSquareMetre = 2.5, Spread = null });

    [Theory]
    // 25 ns/nm²: 1.25 us are 50 nm², 8 · 7. 250 s for 1e-8 m²; 1.4 us are 874 electrons.
    [InlineData(100, 20, 65.536, 8, 7, 1.4e-6, 250, 874)]
    // 2.5 ns/nm²: 500 nm², 23 · 22.
    [InlineData(1000, 40, 65.536, 23, 22, 1.265e-6, 25, 7896)]
    // 250 ns/nm²: 5 nm², 3 · 2, and a quarter of the spot is 2 nm.
    [InlineData(10, 8, 65.536, 3, 2, 1.5e-6, 2500, 94)]
    // A quarter of the spot is 10 nm, which is more than the clock wants.
    [InlineData(100, 40, 65.536, 10, 10, 2.5e-6, 250, 1560)]
    // Codes of 4 nm: 64 nm², 2 · 2.
    [InlineData(100, 20, 262.144, 2, 2, 1.6e-6, 250, 999)]
    public void Spacing_dwell_time_and_electrons_are_those_of_the_sheet(
        double picoamperes, double spot, double field, int pitch, int step, double dwell, double beamOn, double electrons)
    {
        PlanRow row = Assert.Single(Plan(Settings, 100, [new(picoamperes * Picoampere, spot)], [new(field * 1000, 1000)]).Rows);
        Assert.Null(row.Refusal);
        SpacingEffect chosen = row.Ruling!.Chosen;
        Assert.Equal((pitch, step), (chosen.LinePitch.Codes, chosen.PointStep.Codes));
        Assert.Equal(dwell, chosen.ShortestDwellSeconds, 1e-12);
        Assert.Equal(beamOn, row.BeamOnSeconds, 1e-9 * beamOn);
        Assert.Equal(electrons, row.PointElectrons, 0.5);

        // The layer that ripples most, in either direction, is that of the row.
        SpacingChoice Rippling(double across, double along) => row.Layers[0] with { Chosen = chosen with { RippleAcross = across, RippleAlong = along } };
        Assert.Equal(0.04, (row with { Layers = [Rippling(0.01, 0.02), Rippling(0.03, 0.04), Rippling(0, 0)] }).Ripple);
        Assert.Equal(0.05, (row with { Layers = [Rippling(0.05, 0.02), Rippling(0.03, 0.04)] }).Ripple);
        Assert.Equal(0, (row with { Layers = [] }).Ripple);

        // 2.5 C/m² on 100 nm by 100 nm are 25 fC, 156,038 electrons: 0.253 %.
        Assert.Equal(0.00253, row.DoseNoise, 0.00001);
    }

    /// <summary>v = 4e7/p nm/s at 100 pA. A deflection of 2 mm/s wants 20 nm; at half the field it makes 1 mm/s and wants 40 nm.</summary>
    [Theory]
    [InlineData(65.536, 20, 15, 20)]
    [InlineData(32.768, 80, 30, 40)]
    public void The_deflections_speed_is_one_in_volts(double field, int pitch, int step, double nanometres)
    {
        BuildSettings slow = Settings with { Machine = Settings.Machine with { Settle = new SettleModel(1e-5, 0, 2e6) } };
        PlanRow row = Assert.Single(Plan(slow, 100, [new(100 * Picoampere, 60)], [new(field * 1000, null)]).Rows);
        SpacingChoice ruling = row.Ruling!;
        Assert.Equal((pitch, step), (ruling.Chosen.LinePitch.Codes, ruling.Chosen.PointStep.Codes));
        Assert.Equal(nanometres, ruling.Chosen.LinePitchNanometres, 1e-9);
        Assert.Equal((SpacingRule.DeflectionSpeed, SpacingRule.Spot), (ruling.PitchRule, ruling.StepRule));
    }

    [Theory]
    // 0.125 ns/nm²: even the widest even pitch of 52 nm, 2.07 · 25.5, gives 338 ns.
    [InlineData(20_000, 60, 65.536, 100, "the best spacing would mean points of 338 ns, less than the controller's shortest dwell of 500 ns")]
    [InlineData(100, 120, 65.536, 100, "the beam is 120 nm wide in the resist, wider than the feature")]
    // 8 nm and 7 nm: the feature is 21 nm wide, and 2 · 11 nm are more. At 200 pA, 10 · 10.
    [InlineData(200, 15, 65.536, 15, "lines 10 nm apart, as the shortest dwell wants, are fewer than 2 across the feature")]
    // Codes of 60 nm: a ripple of 2·exp(−2π²·8.49²/60²).
    [InlineData(100, 20, 3932.16, 100, "the best spacing would mean a ripple of 135%, more than 2%")]
    public void What_cannot_be_written_says_why(double picoamperes, double spot, double field, double feature, string reason)
    {
        PlanRow row = Assert.Single(Plan(Settings, feature, [new(picoamperes * Picoampere, spot)], [new(field * 1000, null)]).Rows);
        Assert.Equal(reason, row.Refusal);
    }

    /// <summary>A layer at half the dose wants twice the area a point, 10 · 10; both layers together are 1.5e-12 C/um² · 100 um².</summary>
    [Fact]
    public void A_drawing_is_planned_with_all_its_layers_and_counts_its_fields()
    {
        Figure[] figures =
        [
            Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(0, 0, 100_000, 100_000)),
            Figure.FromTrapezoid(1, DoseFactor.FromValue(0.5), Trapezoid.FromRectangle(1_400_000, 0, 1_500_000, 100_000)),
        ];
        var document = new FiguresDocument(new FiguresHeader(100, ["full", "half"]), figures);
        var question = new PlanQuestion(100, [new(100 * Picoampere, 20)], [new(65_536, null)]);
        PlanRow alone = Assert.Single(WritingPlan.Of(document, Settings, question, CancellationToken.None).Rows);
        Assert.Equal("the pattern takes 3 fields, and the machine file describes no stage", alone.Refusal);
        BuildSettings staged = Settings with { Machine = Settings.Machine with { Stage = new Stage(1e6, 0) } };
        PlanRow row = Assert.Single(WritingPlan.Of(document, staged, question, CancellationToken.None).Rows);
        Assert.Null(row.Refusal);
        Assert.Equal(3, row.WriteFields);
        Assert.Equal([("full", 8, 7), ("half", 10, 10)], row.Layers.Select(layer => (layer.Layer, layer.Chosen.LinePitch.Codes, layer.Chosen.PointStep.Codes)));
        Assert.Equal(3.75, row.BeamOnSeconds, 1e-9);
        Assert.Equal(
            """
            # Row 1: beam on for 3.75 s. The machine file then says:
            #   deflection: {field: 65.536 um}
            #   beam: {current: 100 pA, spot: 20 nm}
            layers:
              - {layer: 'full', fill: {line_pitch: 8 codes, point_step: 7 codes}}
              - {layer: 'half', fill: {line_pitch: 10 codes, point_step: 10 codes}}

            """,
            PlanText.Settings(row, 1, isOfDrawing: true));
    }

    /// <summary>Dots need no spacing, but a dwell: 10 fC at half the dose are 5 fC, 31,208 electrons, 50 us at 100 pA and 0.25 us at 20 nA.</summary>
    [Fact]
    public void Dots_have_a_dwell_and_no_spacing()
    {
        Figure[] dots = [Figure.FromDot(0, DoseFactor.One, new GridPoint(0, 0)), Figure.FromDot(0, DoseFactor.FromValue(0.5), new GridPoint(0, 9000))];
        BuildSettings settings = Settings with { Process = Settings.Process with { DotChargeCoulombs = 1e-14 } };
        var question = new PlanQuestion(100, [new(100 * Picoampere, 20), new(20_000 * Picoampere, 60)], [new(65_536, null)]);
        WritingPlan plan = WritingPlan.Of(new FiguresDocument(new FiguresHeader(100, ["dots"]), dots), settings, question, CancellationToken.None);
        Assert.Equal(150e-6, plan.Rows[0].BeamOnSeconds, 1e-12);
        Assert.Equal(31_208, plan.Rows[0].FeatureElectrons, 1.0);
        Assert.Matches(@"\n1 +100 pA .* none +none +none +150 us +none +0\.57% +0% +nothing\n", PlanText.Table(plan));
        Assert.Equal("the lightest dot takes 250 ns, less than the controller's shortest dwell of 500 ns", plan.Rows[1].Refusal);
    }

    [Fact]
    public void The_quickest_comes_first_and_what_cannot_be_written_last()
    {
        WritingPlan plan = Plan(
            Settings, 100, [new(20_000 * Picoampere, 60), new(10 * Picoampere, 8), new(1000 * Picoampere, 40), new(100 * Picoampere, 20)], [new(65_536, 2000), new(131_072, 1000)]);
        Assert.Equal([1000, 1000, 100, 100, 10, 10, 20_000, 20_000], plan.Rows.Select(row => Math.Round(row.Beam.CurrentAmperes / Picoampere)));
        Assert.Equal([true, true, true, true, true, true, false, false], plan.Rows.Select(row => row.Refusal is null));
    }

    private const string Expected =
        """
        smallest feature 100 nm; times are of an area of 100 um x 100 um, settling, link and stage not counted
        row  current  spot   in resist  field    magnification  line pitch        point step        dwell    beam on     electrons a point  dose noise  ripple   ruled by
        1    1 nA     40 nm  40 nm      65.5 um  2000           23 codes (23 nm)  22 codes (22 nm)  1.26 us  25 s        7896               0.25%       0.0042%  the shortest dwell
        2    1 nA     40 nm  40 nm      262 um                  6 codes (24 nm)   6 codes (24 nm)   1.44 us  25 s        8988               0.25%       0.01%    the shortest dwell
        3    100 pA   20 nm  20 nm      65.5 um  2000           8 codes (8 nm)    7 codes (7 nm)    1.4 us   4 min 10 s  874                0.25%       0%       the shortest dwell
        4    100 pA   20 nm  20 nm      262 um                  2 codes (8 nm)    2 codes (8 nm)    1.6 us   4 min 10 s  999                0.25%       0%       the shortest dwell
        not 20 nA, 60 nm in a field of 65.5 um: the best spacing would mean points of 338 ns, less than the controller's shortest dwell of 500 ns
        not 20 nA, 60 nm in a field of 262 um: the best spacing would mean points of 338 ns, less than the controller's shortest dwell of 500 ns
        # Row 1: beam on for 25 s in an area of 100 um x 100 um. The machine file then says:
        #   deflection: {field: 65.536 um}   at a magnification of 2000
        #   beam: {current: 1000 pA, spot: 40 nm}
        fill: {line_pitch: 23 codes, point_step: 22 codes}

        """;

    /// <summary>The whole table: three significant digits, columns as wide as their widest cell, what cannot be written below.</summary>
    [Fact]
    public void The_table_as_a_whole()
    {
        WritingPlan plan = Plan(Settings, 100, [new(100 * Picoampere, 20), new(1000 * Picoampere, 40), new(20_000 * Picoampere, 60)], [new(65_536, 2000), new(262_144, null)]);
        string text = PlanText.Table(plan) + PlanText.Settings(plan.Rows[0], 1, isOfDrawing: false);
        Assert.True(text == Expected, text);
    }

    /// <summary>The same as an object: each number under its own name, and what is not there left out.</summary>
    [Fact]
    public void The_object_has_what_the_table_has()
    {
        WritingPlan plan = Plan(Settings, 100, [new(1000 * Picoampere, 40), new(20_000 * Picoampere, 60)], [new(65_536, 2000), new(262_144, null)]);
        using var output = new MemoryStream();
        PlanJson.Write(plan, output);
        System.Text.Json.Nodes.JsonNode json = System.Text.Json.Nodes.JsonNode.Parse(output.ToArray())!;
        Assert.Equal(("100", "100 um x 100 um"), (json["featureNanometres"]!.ToString(), (string?)json["timesOf"]));
        System.Text.Json.Nodes.JsonArray rows = json["rows"]!.AsArray();
        Assert.Equal([true, true, false, false], rows.Select(row => (bool)row!["canBeWritten"]!));
        Assert.Equal(["2000", null, "2000", null], rows.Select(row => row!["magnification"]?.ToString()));
        Assert.Equal([false, false, true, true], rows.Select(row => row!.AsObject().ContainsKey("refusal")));
        System.Text.Json.Nodes.JsonNode first = rows[0]!;
        Assert.Equal(
            [1e-9, 40, 65_536, 1, 25],
            new[] { "currentAmperes", "spotNanometres", "fieldNanometres", "writeFields", "beamOnSeconds" }.Select(key => (double)first[key]!),
            (a, b) => Math.Abs(a / b - 1) < 1e-9);
        PlanRow told = plan.Rows[0];
        Assert.Equal(
            [told.BlurNanometres, told.PointElectrons, told.FeatureElectrons, told.DoseNoise, told.Ripple],
            new[] { "blurNanometres", "pointElectrons", "featureElectrons", "doseNoise", "ripple" }.Select(key => (double)first[key]!));
        System.Text.Json.Nodes.JsonNode layer = Assert.Single(first["layers"]!.AsArray())!;
        Assert.Equal([23, 22, 23, 22], new[] { "linePitchCodes", "pointStepCodes", "linePitchNanometres", "pointStepNanometres" }.Select(key => Math.Round((double)layer[key]!, 9)));
        SpacingEffect chosen = told.Ruling!.Chosen;
        Assert.Equal(
            [chosen.ShortestDwellSeconds, chosen.LongestDwellSeconds, chosen.NanometresPerSecond, chosen.LinkBytesPerSecond],
            new[] { "shortestDwellSeconds", "longestDwellSeconds", "nanometresPerSecond", "linkBytesPerSecond" }.Select(key => (double)layer[key]!));
        Assert.Equal(("shortest dwell", "shortest dwell"), ((string?)layer["linePitchRuledBy"], (string?)layer["pointStepRuledBy"]));
    }

    private static WritingPlan Plan(BuildSettings settings, double feature, ImmutableArray<BeamSetting> beams, ImmutableArray<FieldSetting> fields) =>
        WritingPlan.Of(settings, new PlanQuestion(feature, beams, fields), CancellationToken.None);
}
