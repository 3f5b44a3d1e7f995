using System.Collections.Immutable;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fill.Automatic;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill.Automatic;

/// <summary>
/// Expected values by the definition of dose (M. A. McCord, M. J. Rooks, SPIE Handbook of Microlithography, vol. 1, ch. 2,
/// 1997): a point dwells t = D·p·s/I and the beam runs at v = I/(D·p). At 100 pA and 250 µC/cm² that is 25 ns for 1 nm²
/// and 40 mm/s at a pitch of 1 nm.
/// </summary>
public sealed class SpacingPassTests
{
    private const double WidthPerDeviation = 2.3548200450309493;

    // 100 pA, 10 MHz, 5 to 1,000,000 ticks, spot 20 nm, blur of 100 nm full width, nothing else in the way.
    private static readonly SpacingLimits Plain = new(1e-10, 1e-10, 1e7, 5, 1_000_000, 20, 100 / WidthPerDeviation);

    private static readonly SpacingLimits WithoutClock = Plain with { ClockHertz = 1e12, ShortestDwellTicks = 1, LongestDwellTicks = 1L << 60 };

    // 250 µC/cm², codes of 2 nm.
    private static readonly FillOptions Open = new(
        2.5, 1e-7, 1e-15, new LayerFill(FillStrategy.Of("lines"), FillDirection.X, Spacing.Automatic, Spacing.Automatic, DoseFactor.One))
    {
        Lattice = LatticeOf(2),
        Limits = Plain,
    };

    private static readonly Figure Plate = Rectangle(1, 1000, 1000);

    /// <summary>Layers that are written alike share one note.</summary>
    [Theory]
    [InlineData("layer pads", "pads")]
    [InlineData("layers pads and fingers", "pads", "fingers")]
    [InlineData("layers pads, wires, dots and fingers", "pads", "wires", "dots", "fingers")]
    public void Layers_of_a_note_are_told_by_name(string expected, params string[] names) => Assert.Equal(expected, SpacingText.Layers(names));

    [Theory]
    // 8 · 8 nm²: 1.6 us, at least 2.5 times 0.5 us; 8 · 6 nm²: 1.2 us.
    [InlineData("shortest dwell", SpacingRule.ShortestDwell, SpacingRule.ShortestDwell, 4, 4)]
    // 8 · 6 nm²: a little less than 12 ticks.
    [InlineData("slow clock", SpacingRule.ClockTick, SpacingRule.ClockTick, 4, 4)]
    // 6 nm, at least a quarter of 20 nm.
    [InlineData("little current", SpacingRule.Spot, SpacingRule.Spot, 3, 3)]
    [InlineData("coarse codes", SpacingRule.OneCode, SpacingRule.OneCode, 1, 1)]
    // 40 mm/s over 20 is 2 mm/s, at most 2.1 mm/s; over 18 it is 2.2 mm/s.
    [InlineData("slow deflection", SpacingRule.DeflectionSpeed, SpacingRule.Spot, 10, 3)]
    // 40 mm/s over 16 times 3.9 us is 9.75 nm, at most half the spot.
    [InlineData("lag", SpacingRule.DeflectionLag, SpacingRule.Spot, 8, 3)]
    // 12 · 12 nm² take 3.6 us; 10 B in that time are 2.78 MB/s, at most 4/5 of 3.5 MB/s. 12 · 10 nm²: 3.3 MB/s.
    [InlineData("points on the link", SpacingRule.Link, SpacingRule.Link, 6, 6)]
    // Lines of 1 um at a pitch of 10 nm take 250 us; 50 B in that time are 200 kB/s, at most 4/5 of 260 kB/s.
    [InlineData("lines on the link", SpacingRule.Link, SpacingRule.Spot, 5, 3)]
    public void The_finest_spacing_within_all_limits_is_taken_and_what_ruled_is_named(
        string scenario, SpacingRule pitchRule, SpacingRule stepRule, int pitch, int step)
    {
        FillOptions options = scenario switch
        {
            "shortest dwell" => Open with { Limits = Plain with { ClockHertz = 1e8, ShortestDwellTicks = 50 } },
            "slow clock" => Open with { Limits = Plain with { ShortestDwellTicks = 1, LargestCurrentAmperes = 1.0001e-10 } },
            "little current" => Open with { Limits = Plain with { LargestCurrentAmperes = 1e-12, SmallestCurrentAmperes = 1e-12 } },
            "coarse codes" => Open with { Lattice = LatticeOf(60) },
            "slow deflection" => Open with { Limits = WithoutClock with { FastestNanometresPerSecond = 2.1e6 } },
            "lag" => Open with { Limits = WithoutClock with { LagSeconds = 3.9e-6 } },
            "points on the link" => Open with { Limits = WithoutClock with { BytesPerPoint = 10, LinkBytesPerSecond = 3.5e6 } },
            _ => Open with { Limits = WithoutClock with { BytesPerLine = 50, LinkBytesPerSecond = 2.6e5 } },
        };
        SpacingChoice choice = Assert.Single(Choose(options, Plate));
        Assert.Equal((Spacing.FromCodes(pitch), Spacing.FromCodes(step)), (choice.Chosen.LinePitch, choice.Chosen.PointStep));
        Assert.Equal((pitchRule, stepRule), (choice.PitchRule, choice.StepRule));
        Assert.Equal(SpacingRule.None, choice.Chosen.Breaks);
    }

    /// <summary>One code finer, or coarser, in all that is to be chosen; what is given stays. Of one code nothing is finer.</summary>
    [Fact]
    public void What_is_given_is_neither_finer_nor_coarser()
    {
        FillOptions slow = Open with { Limits = WithoutClock with { FastestNanometresPerSecond = 2.1e6 } };
        AssertBeside(slow, (10, 3), (9, 2), (11, 4));
        AssertBeside(slow with { AllLayers = slow.AllLayers with { PointStep = Spacing.FromCodes(3) } }, (10, 3), (9, 3), (11, 3));
        AssertBeside(slow with { AllLayers = slow.AllLayers with { LinePitch = Spacing.FromCodes(10) } }, (10, 3), (10, 2), (10, 4));
        AssertBeside(Open with { Lattice = LatticeOf(60) }, (1, 1), null, (2, 2));

        static void AssertBeside(FillOptions options, (int, int) chosen, (int, int)? finer, (int, int) coarser)
        {
            SpacingChoice choice = Assert.Single(Choose(options, Plate));
            Assert.Equal(chosen, Codes(choice.Chosen));
            Assert.Equal(finer, choice.Finer is null ? null : Codes(choice.Finer));
            Assert.Equal(coarser, Codes(choice.Coarser));
        }

        static (int, int) Codes(SpacingEffect effect) => (effect.LinePitch.Codes, effect.PointStep.Codes);
    }

    /// <summary>Against a search of all pairs by the formulas above and the margins that the catalogue names.</summary>
    [Fact]
    public void Nothing_finer_is_missed() => Gen.Select(
        Gen.Double[1e-12, 1e-9], Gen.Int[1, 100], Gen.Double[1, 10], Gen.Double[1e5, 1e8], Gen.Double[0, 5e-6], Gen.Int[400_000, 3_000_000]).Sample(
        (current, shortestTicks, code, speed, lag, factor) =>
        {
            double dose = 2.5e-18 * factor / 1e6;
            bool IsAllowed(int p, int s)
            {
                double dwell = dose * p * s * code * code / current;
                double velocity = current / (dose * p * code);
                double deviations = Plain.BlurDeviationNanometres / (Math.Max(p, s) * code);
                return AtLeast(dwell * 1e7, 2.5 * shortestTicks) && AtLeast(dwell * 1e7, 12) && AtLeast(1_000_000, dwell * 1e7)
                    && AtLeast(speed, velocity) && AtLeast(10, velocity * lag)
                    && AtLeast(p * code, 5) && AtLeast(s * code, 5)
                    && AtLeast(0.02, 2 * Math.Exp(-2 * Math.PI * Math.PI * deviations * deviations));
            }

            int[] codes = [.. Enumerable.Range(1, (int)(100 / code))];
            (int P, int S)[] allowed = [.. from p in codes from s in codes where IsAllowed(p, s) orderby Math.Max(p, s), p * s, p descending select (p, s)];
            if (allowed.Length == 0)
            {
                return true;
            }

            FillOptions options = Open with
            {
                Lattice = LatticeOf(code),
                Limits = Plain with
                {
                    LargestCurrentAmperes = current,
                    SmallestCurrentAmperes = current,
                    ShortestDwellTicks = shortestTicks,
                    FastestNanometresPerSecond = speed,
                    LagSeconds = lag,
                },
            };
            SpacingEffect chosen = Assert.Single(Choose(options, Rectangle(factor / 1e6, 500, 500))).Chosen;
            return (chosen.LinePitch.Codes, chosen.PointStep.Codes) == allowed[0];

            // But for the rounding of products of decimal numbers, which often meet a limit exactly.
            static bool AtLeast(double value, double limit) => value >= limit * (1 - 1e-12);
        },
        iter: Iterations.Usually(100));

    /// <summary>Whatever the decimal numbers, a limit that they meet exactly is met, and one missed by a billionth is not.</summary>
    [Fact]
    public void A_limit_that_is_met_exactly_is_met() => Gen.Select(Gen.Int[100, 999], Gen.Int[5, 8], Gen.Int[11, 999], Gen.Int[11, 999]).Sample(
        (picoamperes, tens, ticks, megahertz) =>
        {
            // Spacings of one code: two of these are beyond the widest even pitch.
            (double code, double current, double clock) = (10.0 * tens, picoamperes * 1e-12, megahertz * 1e6);
            FillOptions options = Open with
            {
                AreaDoseCoulombsPerSquareMetre = (double)((decimal)picoamperes * ticks / (100 * tens * tens * megahertz)),
                Lattice = LatticeOf(code),
                Limits = Plain with { LargestCurrentAmperes = current, SmallestCurrentAmperes = current, ClockHertz = clock, ShortestDwellTicks = ticks, LongestDwellTicks = ticks },
            };
            Assert.Equal(1, Assert.Single(Choose(options, Plate)).Chosen.LinePitch.Codes);
            Assert.Throws<CompileException>(() => Choose(options with { Limits = options.Limits! with { LargestCurrentAmperes = current * (1 + 1e-9) } }, Plate));
            Assert.Throws<CompileException>(() => Choose(options with { Limits = options.Limits! with { SmallestCurrentAmperes = current * (1 - 1e-9) } }, Plate));
        },
        iter: Iterations.Usually(50));

    [Fact]
    public void The_lowest_dose_of_a_layer_and_the_larger_of_two_currents_rule()
    {
        // A tenth of the dose at twice the current: 1.25 ns for 1 nm²; 1.25 us need 1000 nm², 16 · 16 codes of 2 nm.
        FillOptions options = Open with { Limits = Plain with { LargestCurrentAmperes = 2e-10, SmallestCurrentAmperes = 1e-10, ClockHertz = 1e8, ShortestDwellTicks = 50 } };
        SpacingChoice choice = Assert.Single(Choose(options, Plate, Rectangle(0.1, 100, 100), Rectangle(3, 100, 100)));
        Assert.Equal((16, 16), (choice.Chosen.LinePitch.Codes, choice.Chosen.PointStep.Codes));
        Assert.Equal(0.1, choice.LowestDoseFactor, 1e-12);
        Assert.Equal(3, choice.HighestDoseFactor, 1e-12);
    }

    [Fact]
    public void A_given_pitch_stays_and_only_the_step_is_chosen()
    {
        // 1.25 us need 50 nm²: at 20 nm pitch a step of 2.5 nm would do, but 6 nm is the finest that shows.
        FillOptions options = Open with { AllLayers = Open.AllLayers with { LinePitch = Spacing.FromNanometres(20) } };
        SpacingChoice choice = Assert.Single(Choose(options, Plate));
        Assert.Equal((Spacing.FromNanometres(20), Spacing.FromCodes(3)), (choice.Chosen.LinePitch, choice.Chosen.PointStep));
        Assert.Equal((SpacingRule.None, SpacingRule.Spot), (choice.PitchRule, choice.StepRule));
    }

    [Fact]
    public void A_layer_of_single_lines_has_a_step_only()
    {
        // 1 nC/cm are 1e-16 C/nm: 1 us for 1 nm at 100 pA; two codes are 4 nm, below a quarter of the spot.
        Figure line = Figure.FromLine(0, DoseFactor.One, new GridPoint(0, 0), new GridPoint(10_000, 0));
        SpacingChoice choice = Assert.Single(Choose(Open, line));
        Assert.Equal((Spacing.FromCodes(3), Spacing.FromCodes(3)), (choice.Chosen.LinePitch, choice.Chosen.PointStep));
        Assert.Equal(6e-6, choice.Chosen.ShortestDwellSeconds, 1e-15);
    }

    [Fact]
    public void The_chosen_spacing_is_the_one_that_is_filled_with()
    {
        var sink = new DiagnosticSink();
        var given = Open with { AllLayers = Open.AllLayers with { LinePitch = Spacing.FromCodes(4), PointStep = Spacing.FromCodes(4) } };
        var document = new FiguresDocument(new FiguresHeader(100, ["pattern"]), [Plate]);
        (FillOptions chosen, _) = SpacingPass.Run(document, Open with { Limits = Plain with { ShortestDwellTicks = 6 } }, sink, CancellationToken.None);
        Assert.Equal(FillCase.Fill(given, Plate), FillCase.Fill(chosen, sink, Plate));
        Assert.Equal(
            "note PC1208: layer pattern: line pitch 4 codes (8 nm), point step 4 codes (8 nm): points of 1.6 us, ripple 0%; both are ruled by the shortest dwell; "
            + "one code finer would mean points of 900 ns, less than 2.5 times the controller's shortest dwell of 600 ns, which leaves room to weight edges; "
            + "one code coarser, points of 2.5 us, ripple 0%",
            Assert.Single(sink.Collected).ToString());
    }

    [Fact]
    public void Without_room_for_a_reserve_the_limit_itself_is_taken()
    {
        // The widest even spacing of 86 nm takes 185 us: enough for the shortest dwell of 100 us, not for 2.5 times that.
        SpacingChoice choice = Assert.Single(Choose(Open with { Limits = Plain with { ShortestDwellTicks = 1000 } }, Plate));
        Assert.False(choice.HasReserve);
        Assert.Equal(SpacingRule.ShortestDwell, choice.PitchRule);
        Assert.Equal(32, choice.Chosen.LinePitch.Codes);
    }

    public static TheoryData<string, string> Faults { get; } = new()
    {
        {
            "dwell",
            "error PC1209: no spacing meets all limits on layer pattern: even line pitch 43 codes (86 nm) and point step 43 codes (86 nm), the widest with an even dose, "
            + "would mean points of 185 us, less than the controller's shortest dwell of 1 ms; lower the beam current to 18 pA or less, or use a controller with a shorter dwell"
        },
        {
            "speed",
            "error PC1209: no spacing meets all limits on layer pattern: even line pitch 43 codes (86 nm) and point step 43 codes (86 nm), the widest with an even dose, "
            + "would mean a beam of 465 um/s along the lines, faster than the deflection's 100 um/s; lower the beam current to 21 pA or less, or correct 'settle.slew' in the machine file"
        },
        {
            "lag",
            "error PC1209: no spacing meets all limits on layer pattern: even line pitch 43 codes (86 nm) and point step 43 codes (86 nm), the widest with an even dose, "
            + "would mean a beam that lags 46.5 nm behind, more than half the spot of 20 nm; lower the beam current to 21 pA or less, or let lines run ahead with 'settle: {cancel_lag: yes}' in the machine file"
        },
        {
            "link",
            "error PC1209: no spacing meets all limits on layer pattern: even line pitch 43 codes (86 nm) and point step 43 codes (86 nm), the widest with an even dose, "
            + "would mean 54.1 kB/s on the link, more than four fifths of its 10 kB/s; lower the beam current to 14 pA or less, or use a faster link"
        },
        {
            "longest",
            "error PC1209: no spacing meets all limits on layer pattern: line pitch 3 codes (6 nm) and point step 3 codes (6 nm), the finest for clock, deflection and link, "
            + "would mean points of 900 ns, above the controller's longest dwell of 800 ns; raise the beam current to 120 pA, or divide the dose with 'fill: {passes: 2}'"
        },
        {
            "codes",
            "error PC1209: no spacing meets all limits on layer pattern: line pitch 1 code (100 nm) and point step 1 code (100 nm), the finest for clock, deflection and link, "
            + "would mean a ripple of 5.7%, more than 2%; use a field that is at most 0.87 times as wide (higher magnification), a DAC with more bits or a spot of 58 nm or more, or accept it by giving the spacing as '1 code'"
        },
    };

    [Theory]
    [MemberData(nameof(Faults))]
    public void Where_limits_exclude_each_other_the_one_to_relax_is_named(string scenario, string message)
    {
        FillOptions options = scenario switch
        {
            "dwell" => Open with { Limits = Plain with { ShortestDwellTicks = 10_000 } },
            "speed" => Open with { Limits = WithoutClock with { FastestNanometresPerSecond = 1e5 } },
            "lag" => Open with { Limits = WithoutClock with { LagSeconds = 1e-4 } },
            "link" => Open with { Limits = WithoutClock with { BytesPerPoint = 10, LinkBytesPerSecond = 1e4 } },
            "longest" => Open with { Limits = Plain with { ClockHertz = 1e8, ShortestDwellTicks = 1, LongestDwellTicks = 80 } },
            _ => Open with { Lattice = LatticeOf(100) },
        };
        var fault = Assert.Throws<CompileException>(() => Choose(options, Plate));
        Assert.Equal(message, fault.Diagnostic.ToString());
    }

    [Fact]
    public void Without_a_machine_nothing_can_be_chosen()
    {
        var fault = Assert.Throws<CompileException>(() => Choose(Open with { Limits = null }, Plate));
        Assert.Equal(
            "error PC1202: line pitch and point step of layer pattern are to be chosen, but no machine says what it allows; name the machine, or give the spacing",
            fault.Diagnostic.ToString());
    }

    private static ImmutableArray<SpacingChoice> Choose(FillOptions options, params Figure[] figures) => SpacingPass.Run(
        new FiguresDocument(new FiguresHeader(100, ["pattern"]), figures), options, new DiagnosticSink(), CancellationToken.None).Choices;

    private static Figure Rectangle(double factor, int widthNanometres, int heightNanometres) => Figure.FromTrapezoid(
        0, new DoseFactor((int)Math.Round(factor * 1e6)), Trapezoid.FromRectangle(0, 0, 10 * widthNanometres, 10 * heightNanometres));

    private static CodeLattice LatticeOf(double nanometres) => new(new CodeAxis(0, nanometres * 1e6), new CodeAxis(0, nanometres * 1e6));

    [Fact]
    public void Doses_of_a_layer_are_its_own_or_those_of_all()
    {
        LayerFill fill = Open.AllLayers with { DoseFactor = DoseFactor.FromValue(1.5) };
        Assert.Equal(new LayerDoses(2.5, 1e-7, 1e-15, 1.5), Open.DosesOf(fill));
        Assert.Equal(new LayerDoses(4, 1e-7, 1e-15, 1.5), Open.DosesOf(fill with { AreaDoseCoulombsPerSquareMetre = 4 }));
        Assert.Equal(new LayerDoses(2.5, 2e-7, 1e-15, 1.5), Open.DosesOf(fill with { LineDoseCoulombsPerMetre = 2e-7 }));
        Assert.Equal(new LayerDoses(2.5, 1e-7, 3e-15, 1.5), Open.DosesOf(fill with { DotChargeCoulombs = 3e-15 }));
    }

    /// <summary>Three passes at a dose factor of 1.5 dwell half as long as one at 1: 2.5e-18 C/nm² on 10 nm by 10 nm.</summary>
    [Fact]
    public void A_pass_has_its_part_of_the_dose()
    {
        LayerFill fill = Open.AllLayers with { DoseFactor = DoseFactor.FromValue(1.5), Passes = 3 };
        var demand = new LayerDemand();
        demand.Add(Plate, 100_000, FillDirection.X);
        var trial = new SpacingTrial(Plain, LatticeOf(1), fill, demand, Open.DosesOf(fill), hasReserve: false);
        double dwell = trial.Try(Spacing.FromNanometres(10), Spacing.FromNanometres(10)).ShortestDwellSeconds;
        Assert.Equal(1, dwell * Plain.LargestCurrentAmperes / 1.25e-16, 1e-12);
    }
}
