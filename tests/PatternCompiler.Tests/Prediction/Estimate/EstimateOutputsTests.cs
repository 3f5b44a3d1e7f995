using System.Collections.Immutable;
using System.Text;
using System.Text.Json.Nodes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fill.Automatic;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Tests.Prediction.Estimate;

/// <summary>What is printed of an estimate that has everything and no number twice.</summary>
public sealed class EstimateOutputsTests
{
    private static readonly StrayJump Stray = new(7, 1000, -2000, 3500, 4250, 0.02, 0.011, 1234, 56, StrayCause.LateBlanking)
    {
        Field = "r1c2", FromFigure = 3, ToFigure = 4, OutsideLengthNanometres = 100,
    };

    private static readonly SpacingEffect Chosen = Effect(1, SpacingRule.None);

    private static readonly ExposureEstimate Full = new()
    {
        MachineName = "lab",
        Records = 921, Jumps = 80, Lines = 310, Points = 52_000,
        ExposingSeconds = 31, SettlingSeconds = 2.5, WaitingSeconds = 0.75,
        PointStreamBytes = 640_000, LineStreamBytes = 21_500,
        StepXNanometres = 1.5, StepYNanometres = 2.25, SpotNanometres = 11, BlurNanometres = 17,
        SpacingX = new(4, 6, 0.011, 5), SpacingY = new(7, 9, 0.013, 8),
        ClockHertz = 2e6, MinimumDwellTicks = 12, MaximumDwellTicks = 60_000, ShortestDwellTicks = 25, LongestDwellTicks = 1300,
        Link = new(48_000, 8192, 19_000, 37_000, 3, 0.5, 0.3, new(101, 5, 1200, -3400, 4.5), new(202, 6, -5600, 7800, 8.5))
        {
            Blocks = 15, RoundTripSeconds = 0.016, StallsAmidExposure = 2, StallSecondsAmidExposure = 0.45, FirstStallAmidExposure = new(150, 5, 1300, -3500, 5.5),
            NeededBlocks = 24, NeededBufferBytes = 12_624, NeededBytesPerSecond = 96_000,
        },
        InterpolatesLines = false,
        ChargeCoulombs = 3.2e-9, Electrons = 2e10, FewestElectrons = 10_000, FewestElectronsFigure = 14,
        Field = new(0.25, 0.625, 4321, -11_000, -12_000, 13_000, 14_000),
        Strays = new(80, 2, 2222, 0.021, [Stray], IsAlone: true) { OutsideLengthNanometres = 333 },
        StraysIfStraight = new(81, 9, 8888, 0.031, [], IsAlone: false) { OutsideLengthNanometres = 444 },
        FigureCharge = new(15, 0.0012, -0.0034, 9, 1.75),
        Fill = new(
            [new("pads", Chosen, SpacingRule.OneCode, SpacingRule.Spot, Effect(100, SpacingRule.ShortestDwell), Effect(200, SpacingRule.Link), 0.8, 1.4, HasReserve: true)],
            [new("pads", 9000, 7000, 6000), new("wires", 800, 700, 500)]),
        Stage = new(6, 12.5),
    };

    public static TheoryData<string, Func<ExposureEstimate, ExposureEstimate>> Warned => new()
    {
        { "no record exposes anything; check layers and dose factors of the drawing", e => e with { Points = 0, SpotNanometres = 1, Strays = Full.Strays } },
        { "one code is 2.25 nm on the sample, 56% of the spot of 4 nm: edges will show steps; use a smaller field (higher magnification), a DAC with more bits, or a larger spot", e => e with { SpotNanometres = 4 } },
        { "one code is 6 nm on the sample, 55% of the spot of 11 nm: edges will show steps; use a smaller field (higher magnification), a DAC with more bits, or a larger spot", e => e with { StepXNanometres = 6 } },
        { "the dose ripples by ±3% along x at a spacing of 30 nm with a beam 17 nm wide in the resist; space lines and points closer, at most 14.9 nm, or defocus a little", e => e with { SpacingX = new(4, 30, 0.03, 30) } },
        { "the dose ripples by ±2.1% along y at a spacing of 8 nm with a beam 17 nm wide in the resist; give line pitch and point step in whole DAC codes, so that rounding leaves them even", e => e with { SpacingY = new(4, 9, 0.021, 8) } },
        { "the mean dwell is 23 ticks, near the controller's minimum of 12; use a larger point step, or less beam current", e => e with { ExposingSeconds = 0.6, SettlingSeconds = 0, Points = 52_174 } },
        { "the mean dwell is 5 clock ticks, so that a point's dose is up to 10% off; use a larger point step, less beam current or a faster clock", e => e with { ExposingSeconds = 0.1, SettlingSeconds = 0, Points = 40_000, MinimumDwellTicks = 1 } },
        { "figure 14 gets 399 electrons: its dose scatters by 5% (one standard deviation); use a less sensitive resist or larger features", e => e with { FewestElectrons = 399 } },
        { "the least exposed figure gets 100 electrons: its dose scatters by 10% (one standard deviation); use a less sensitive resist or larger features", e => e with { FewestElectrons = 100, FewestElectronsFigure = -1 } },
        { "the link of 48 kB/s leaves the controller without records 3 times, 2 times with the beam on, which goes off within a figure; for the first time so after 5.5 s at record 150 near (1.3, -3.5) um; 500 ms lost; a buffer of 24 blocks (12.6 kB) or a link of 96 kB/s keeps the beam on", e => e with { Link = Full.Link } },
        { "the link of 48 kB/s leaves the controller without records 3 times, each time with the beam on, which goes off within a figure; first after 5.5 s at record 150 near (1.3, -3.5) um; 500 ms lost; a link of 96 kB/s keeps the beam on", e => e with { Link = Full.Link with { StallsAmidExposure = 3, NeededBlocks = null } } },
        { "the link of 48 kB/s leaves the controller without records 3 times, each time with the beam on, which goes off within a figure; first after 5.5 s at record 150 near (1.3, -3.5) um; 500 ms lost; neither larger buffers nor links up to 16 times as fast are enough: use longer dwells (less beam current or a larger step)", e => e with { Link = Full.Link with { StallsAmidExposure = 3, NeededBlocks = null, NeededBytesPerSecond = null }, InterpolatesLines = true } },
        { "the link of 48 kB/s leaves the controller without records 3 times, each time with the beam on, which goes off within a figure; first after 5.5 s at record 150 near (1.3, -3.5) um; 500 ms lost; neither larger buffers nor links up to 16 times as fast are enough: use a controller that interpolates lines, or longer dwells (less beam current or a larger step)", e => e with { Link = Full.Link with { StallsAmidExposure = 3, NeededBlocks = null, NeededBytesPerSecond = null } } },
        { "the link of 48 kB/s leaves the controller without records 3 times, each time with the beam on, which goes off within a figure; first after 5.5 s at record 150 near (1.3, -3.5) um; 500 ms lost; a link of 192 kB/s with a buffer of 64 blocks (33.7 kB) keeps the beam on", e => e with { Link = Full.Link with { StallsAmidExposure = 3, NeededBlocks = null, NeededBytesPerSecond = null, NeededTogether = (192_000, 64) } } },
        { "the link of 48 kB/s leaves the controller without records 3 times, never with the beam on; first after 4.5 s at record 101 near (1.2, -3.4) um; 500 ms lost; doses are right; for the time, use a controller that interpolates lines, a faster link or a larger buffer", e => e with { Link = Full.Link with { StallsAmidExposure = 0, FirstStallAmidExposure = null } } },
        { "the link of 48 kB/s leaves the controller without records 3 times, never with the beam on; first after 4.5 s at record 101 near (1.2, -3.4) um; 500 ms lost; doses are right; for the time, use a faster link or a larger buffer", e => e with { Link = Full.Link with { StallsAmidExposure = 0, FirstStallAmidExposure = null }, InterpolatesLines = true } },
        { "the busiest part needs 38.5 kB/s of the link's 48 kB/s; leave a margin: a busy computer or a hub takes some of it", e => e with { Link = e.Link with { BusiestBytesPerSecond = 38_500 } } },
        { "jumps and settling take 31.5 s, more than exposing (31 s); order the figures for short jumps, or measure the settling time and enter a shorter one", e => e with { SettlingSeconds = 31.5 } },
        { "the write takes 1 h 10 min: beam current and stage drift meanwhile; use more beam current, or split the job", e => e with { WaitingSeconds = 4200 } },
        { "2 of 80 jumps would print a line, 2.22 um in all, 333 nm of it around the pattern, each judged alone; the worst is 1.23 um long and 56 nm wide with 2 uC/cm2, because the blanker is late; let 'order.travel' be hidden, jump faster, use less beam current, or fix the blanker", e => e with { Strays = Full.Strays } },
    };

    [Fact]
    public void The_table_has_all_its_rows() => Assert.Equal(
        """
        write time            47.25 s  (exposing 31 s, jumps and settling 2.5 s, waiting 750 ms, link stalls 500 ms)
        stage                 12.5 s of the write time for 6 write fields
        records               921  (310 lines, 52000 points, 80 jumps)
        stream                640 kB, lines sent point by point  (21.5 kB as lines)
        link                  19 kB/s needed on average, 37 kB/s in the busiest part; 48 kB/s given, buffer 8.19 kB: runs dry 3 times for 500 ms
        link buffer           15 blocks, round trip 16 ms: 24 blocks (12.6 kB) needed to keep the beam on; dry with the beam on 2 times for 450 ms
        step per code         1.5 nm x 2.25 nm, spot 11 nm
        spacing along x       4 nm to 6 nm, dose ripple ±1.1%
        spacing along y       7 nm to 9 nm, dose ripple ±1.3%
        rounding to codes     0.6495 nm rms, 1.125 nm at most
        dwell                 12.5 us to 650 us  (25 to 1300 ticks of 500 ns; the controller makes 12 to 60000)
        rounding of dwell     2% of a point's dose at most, carried on within a figure
        charge                3.2 nC  (20000000000 electrons)
        shot noise            1% of the least exposed figure's dose  (10000 electrons)
        field used            25% x 62%, 4321 codes to the nearest end
        stray lines           2 of 80 jumps print, 2.22 um in all, 333 nm of it around the pattern, each judged alone
                              jumps are led around; led straight, 9 of 81 would print 8.89 um, 444 nm of it around the pattern, with up to 3.1 uC/cm2
                              figure 3 to figure 4 in field r1c2 from (1, -2) um to (3.5, 4.25) um: 1.23 um long, 56 nm wide, 2 uC/cm2 (1.1 uC/cm2 of its own)
        blanked travel        7.7 um between figures, 9.8 um in the given order, no order needs less than 6.5 um
        charge per figure     within 0.34% of what is asked, 0.12% on average  (1.75 ticks at most)

        """,
        EstimateText.Format(Full));

    /// <summary>The coarser axis decides how far off a place may be, whichever it is.</summary>
    [Fact]
    public void Rounding_is_that_of_the_coarser_axis()
    {
        string text = EstimateText.Format(Full with { StepXNanometres = 2.25, StepYNanometres = 1.5 });
        Assert.Contains("\nrounding to codes     0.6495 nm rms, 1.125 nm at most\n", text, StringComparison.Ordinal);
        Assert.Contains("\nstep per code         2.25 nm x 1.5 nm, spot 11 nm\n", text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0, 0, true, "none of 80 jumps prints, each judged alone; at most 2.1 uC/cm2 along them")]
    [InlineData(1, 1234, false, "1 of 80 jumps prints, 1.23 um in all, 333 nm of it around the pattern")]
    public void Few_stray_lines(long printing, double length, bool isAlone, string row) => Assert.Contains(
        $"\nstray lines           {row}\n",
        EstimateText.Format(Full with { Strays = Full.Strays! with { Printing = printing, PrintedLengthNanometres = length, IsAlone = isAlone } }),
        StringComparison.Ordinal);

    [Theory]
    [MemberData(nameof(Warned))]
    public void Each_warning_alone(string text, Func<ExposureEstimate, ExposureEstimate> change)
    {
        ExposureEstimate quiet = Full with { Strays = null, Link = Full.Link with { Stalls = 0, FirstStall = null, StallsAmidExposure = 0, FirstStallAmidExposure = null } };
        Assert.Empty(EstimateWarnings.Of(quiet));
        Assert.Equal(text, string.Concat(EstimateWarnings.Of(change(quiet)).Select(warning => $"{warning.Message}; {warning.Fix}")));
    }

    [Fact]
    public void The_object_has_all_its_members()
    {
        using var output = new MemoryStream();
        EstimateJson.Write(Full with { Warnings = [.. EstimateWarnings.Of(Full with { Link = Full.Link with { FirstStall = null, FirstStallAmidExposure = null }, Strays = null, SettlingSeconds = 32 })] }, output);
        string json = Encoding.UTF8.GetString(output.ToArray());
        Assert.EndsWith("}\n", json, StringComparison.Ordinal);
        Assert.Equal(
            JsonNode.Parse(
                """
                {
                  "machine": "lab",
                  "time": {"totalSeconds": 47.25, "exposingSeconds": 31, "settlingSeconds": 2.5, "waitingSeconds": 0.75, "stallSeconds": 0.5, "stageSeconds": 12.5, "writeFields": 6},
                  "records": 921, "lines": 310, "points": 52000, "jumps": 80, "streamBytes": 640000, "streamBytesAsLines": 21500, "streamBytesAsPoints": 640000,
                  "chargeCoulombs": 3.2E-09, "electrons": 20000000000, "fewestElectrons": 10000, "fewestElectronsFigure": 14, "shotNoise": 0.01,
                  "link": {"givenBytesPerSecond": 48000, "meanBytesPerSecond": 19000, "busiestBytesPerSecond": 37000, "roundTripSeconds": 0.016, "neededBytesPerSecond": 96000, "bufferBytes": 8192, "stalls": 3, "longestStallSeconds": 0.3,
                    "firstStall": {"seconds": 4.5, "record": 101, "figure": 5, "xNanometres": 1200, "yNanometres": -3400},
                    "worstStall": {"seconds": 8.5, "record": 202, "figure": 6, "xNanometres": -5600, "yNanometres": 7800},
                    "blocks": 15, "stallsAmidExposure": 2, "stallSecondsAmidExposure": 0.45,
                    "firstStallAmidExposure": {"seconds": 5.5, "record": 150, "figure": 5, "xNanometres": 1300, "yNanometres": -3500},
                    "neededBlocks": 24, "neededBufferBytes": 12624},
                  "stepXNanometres": 1.5, "stepYNanometres": 2.25, "spotNanometres": 11, "blurNanometres": 17,
                  "spacingX": {"smallestNanometres": 4, "largestNanometres": 6, "ripple": 0.011, "ripplePitchNanometres": 5},
                  "spacingY": {"smallestNanometres": 7, "largestNanometres": 9, "ripple": 0.013, "ripplePitchNanometres": 8},
                  "positionDeviationNanometres": 0.649519052838329, "clockHertz": 2000000, "shortestDwellTicks": 25, "longestDwellTicks": 1300,
                  "minimumDwellTicks": 12, "maximumDwellTicks": 60000, "dwellRounding": 0.02,
                  "field": {"usedX": 0.25, "usedY": 0.625, "marginCodes": 4321, "leftNanometres": -11000, "bottomNanometres": -12000, "rightNanometres": 13000, "topNanometres": 14000},
                  "strays": {"printingJumps": 2, "printedNanometres": 2222, "printedAroundPatternNanometres": 333, "largestDoseCoulombsPerSquareMetre": 0.021, "judgedAlone": true,
                    "ifStraight": {"printingJumps": 9, "printedNanometres": 8888, "printedAroundPatternNanometres": 444, "largestDoseCoulombsPerSquareMetre": 0.031},
                    "worst": [{"record": 7, "field": "r1c2", "fromFigure": 3, "toFigure": 4, "fromXNanometres": 1000, "fromYNanometres": -2000, "toXNanometres": 3500, "toYNanometres": 4250, "printedNanometres": 1234, "widthNanometres": 56, "doseCoulombsPerSquareMetre": 0.02, "ownDoseCoulombsPerSquareMetre": 0.011, "cause": "late blanking"}]},
                  "figureCharge": {"figures": 15, "meanRelative": 0.0012, "worstRelative": -0.0034, "worstFigure": 9, "worstTicks": 1.75},
                  "travel": [{"layer": "pads", "givenNanometres": 9000, "orderedNanometres": 7000, "leastNanometres": 6000}, {"layer": "wires", "givenNanometres": 800, "orderedNanometres": 700, "leastNanometres": 500}],
                  "chosenSpacings": [{"layer": "pads", "linePitchRuledBy": "one code", "pointStepRuledBy": "spot", "hasReserve": true, "lowestDoseFactor": 0.8, "highestDoseFactor": 1.4,
                    "chosen": {"linePitchCodes": 2, "pointStepCodes": 3, "linePitchNanometres": 4, "pointStepNanometres": 5, "shortestDwellSeconds": 6, "longestDwellSeconds": 7, "nanometresPerSecond": 8, "lagNanometres": 9, "linkBytesPerSecond": 10, "rippleAcross": 11, "rippleAlong": 12, "breaks": null},
                    "finer": {"linePitchCodes": 101, "pointStepCodes": 102, "linePitchNanometres": 103, "pointStepNanometres": 104, "shortestDwellSeconds": 105, "longestDwellSeconds": 106, "nanometresPerSecond": 107, "lagNanometres": 108, "linkBytesPerSecond": 109, "rippleAcross": 110, "rippleAlong": 111, "breaks": "shortest dwell"},
                    "coarser": {"linePitchCodes": 201, "pointStepCodes": 202, "linePitchNanometres": 203, "pointStepNanometres": 204, "shortestDwellSeconds": 205, "longestDwellSeconds": 206, "nanometresPerSecond": 207, "lagNanometres": 208, "linkBytesPerSecond": 209, "rippleAcross": 210, "rippleAlong": 211, "breaks": "link"}}],
                  "warnings": [{"code": "PC3009", "message": "jumps and settling take 32 s, more than exposing (31 s)", "fix": "order the figures for short jumps, or measure the settling time and enter a shorter one"}]
                }
                """)!.ToJsonString(),
            JsonNode.Parse(json)!.ToJsonString());
    }

    [Theory]
    [InlineData(SpacingRule.ClockTick, "clock tick")]
    [InlineData(SpacingRule.DeflectionSpeed, "deflection speed")]
    [InlineData(SpacingRule.DeflectionLag, "deflection lag")]
    [InlineData(SpacingRule.LongestDwell, "longest dwell")]
    [InlineData(SpacingRule.Evenness, "evenness")]
    public void Other_rules_by_name(SpacingRule rule, string name)
    {
        using var output = new MemoryStream();
        EstimateJson.Write(Full with { Fill = Full.Fill with { Spacings = [Full.Fill.Spacings[0] with { StepRule = rule, Finer = null }] } }, output);
        JsonNode choice = JsonNode.Parse(output.ToArray())!["chosenSpacings"]![0]!;
        Assert.Equal((name, null), ((string?)choice["pointStepRuledBy"], choice["finer"]));
    }

    private static SpacingEffect Effect(double from, SpacingRule breaks) => new(
        Spacing.FromCodes((int)from + 1), Spacing.FromCodes((int)from + 2), from + 3, from + 4, from + 5, from + 6, from + 7, from + 8, from + 9, from + 10, from + 11, breaks);
}
