using System.Text.RegularExpressions;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fill.Automatic;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Tests.Passes.Route;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill.Automatic;

/// <summary>Whoever does what an error says must get past it: every remedy is carried out, and one a little less is not enough.</summary>
public sealed partial class SpacingRemedyTests
{
    private const double WidthPerDeviation = 2.3548200450309493;

    private static readonly FillOptions Open = new(
        2.5, 1e-7, 1e-15, new LayerFill(FillStrategy.Of("lines"), FillDirection.X, Spacing.Automatic, Spacing.Automatic, DoseFactor.One));

    /// <summary>
    /// Two layers of unlike doses, one with single lines, on codes that are wider along x than along y: what the error of the first says
    /// must do for both.
    /// </summary>
    [Fact]
    public void The_current_that_is_named_does_for_all_layers_and_is_the_largest_of_two_digits() => Gen.Select(
        Gen.Double[1e-12, 1e-6], Gen.Long[1, 2000], Gen.Double[1, 30], Gen.Double[1e4, 1e8], Gen.Double[0, 1e-4], Gen.Double[1e4, 1e7]).Sample(
        (current, shortest, code, speed, lag, link) =>
        {
            FillOptions options = Open with
            {
                Lattice = new CodeLattice(new CodeAxis(0, code * 1e6), new CodeAxis(0, code * 0.7e6)),
                Limits = new SpacingLimits(current, current * 0.8, 1e7, shortest, 1L << 40, 20, 100 / WidthPerDeviation)
                {
                    FastestNanometresPerSecond = speed,
                    LagSeconds = lag,
                    LinkBytesPerSecond = link,
                    BytesPerPoint = 10,
                },
            };
            if (FaultOf(options) is not { } fault)
            {
                return;
            }

            Match named = LowerCurrent().Match(fault);
            if (!named.Success)
            {
                // Whatever the current, the widest even spacing is less than a code, or nothing in the range is written.
                Assert.Matches("higher magnification|or use|correct 'settle|let lines run|use a", fault);
                return;
            }

            Assert.True(Quantity.TryParse(named.Groups[1].Value, [Dimension.Current], out Quantity lower, out _));
            double amperes = lower.In(Unit.Ampere);
            Assert.Null(FaultOf(At(amperes)));

            // The next number of two digits as it is read: a sum of the two would miss it by its last bit.
            int exponent = (int)Math.Floor(Math.Log10(amperes)) - 1;
            double next = double.Parse($"{Math.Round(amperes / Math.Pow(10, exponent)) + 1}e{exponent}", System.Globalization.CultureInfo.InvariantCulture);
            Assert.True(next >= current || FaultOf(At(next)) is not null);

            FillOptions At(double tried) => options with { Limits = options.Limits! with { LargestCurrentAmperes = tried, SmallestCurrentAmperes = tried * 0.8 } };
        },
        iter: Iterations.Usually(200));

    /// <summary>Points of 0.4 · 2.5 C/m² · 73 nm · 51.1 nm at 73 pA take 51.1 us, as long as the shortest dwell.</summary>
    [Fact]
    public void A_current_at_which_points_are_just_as_long_as_the_shortest_dwell_will_do()
    {
        FillOptions options = Open with
        {
            Lattice = new CodeLattice(new CodeAxis(0, 73e6 / 3), new CodeAxis(0, 73 * 0.7e6 / 3)),
            Limits = new SpacingLimits(2e-7, 1.6e-7, 1e7, 511, 1L << 40, 20, 100 / WidthPerDeviation),
        };
        Assert.EndsWith("lower the beam current to 73 pA or less, or use a controller with a shorter dwell", FaultOf(options), StringComparison.Ordinal);
        Assert.Null(FaultOf(options with { Limits = options.Limits! with { LargestCurrentAmperes = 73e-12, SmallestCurrentAmperes = 73e-12 } }));
    }

    [Fact]
    public void A_field_and_a_spot_that_are_named_for_codes_too_coarse_do() => Gen.Select(Gen.Double[60, 400], Gen.Double[10, 50]).Sample(
        (code, spot) =>
        {
            FillOptions options = At(code, spot);
            if (FaultOf(options) is not { } fault)
            {
                return;
            }

            Match named = FieldAndSpot().Match(fault);
            Assert.True(named.Success, fault);
            double part = double.Parse(named.Groups[1].Value, System.Globalization.CultureInfo.InvariantCulture);
            Assert.True(Quantity.TryParse(named.Groups[2].Value, [Dimension.Length], out Quantity larger, out _));
            Assert.Null(FaultOf(At(code * part, spot)));
            Assert.Null(FaultOf(At(code, larger.In(Unit.Nanometre))));
            Assert.NotNull(FaultOf(At(code * (part + 0.01), spot)));
            Assert.NotNull(FaultOf(At(code, larger.In(Unit.Nanometre) - (larger.In(Unit.Nanometre) > 100 ? 10 : 1))));

            static FillOptions At(double code, double spot) => Open with
            {
                Lattice = new CodeLattice(new CodeAxis(0, code * 1e6), new CodeAxis(0, code * 1e6)),
                Limits = new SpacingLimits(1e-12, 1e-12, 1e7, 1, 1L << 40, spot, Math.Sqrt(spot * spot + 30 * 30) / WidthPerDeviation),
            };
        },
        iter: Iterations.Usually(60));

    [Fact]
    public void A_higher_current_that_is_named_for_points_too_long_does()
    {
        FillOptions options = At(1e-10);
        string fault = FaultOf(options)!;

        // Lines: 1e-16 C/nm over 8 nm at 100 pA are 8 us; 2.6 us are 308 pA.
        Assert.EndsWith("points of 8 us, above the controller's longest dwell of 2.6 us; raise the beam current to 310 pA, or divide the dose with 'fill: {passes: 2}'", fault, StringComparison.Ordinal);
        Assert.Null(FaultOf(At(3.1e-10)));
        Assert.NotNull(FaultOf(At(3e-10)));

        static FillOptions At(double amperes) => Open with
        {
            Lattice = new CodeLattice(new CodeAxis(0, 8e6), new CodeAxis(0, 8e6)),
            Limits = new SpacingLimits(amperes, amperes, 1e7, 1, 26, 20, 100 / WidthPerDeviation),
        };
    }

    /// <summary>Spacings that are given and too fine for the current: either way out that the error names is walked to the records.</summary>
    [Theory]
    [InlineData("5 nA")]
    [InlineData("30 nA")]
    [InlineData("2 uA")]
    public void Where_given_spacings_are_too_fine_both_ways_out_lead_to_records(string current)
    {
        Assert.True(Quantity.TryParse(current, [Dimension.Current], out Quantity amperes, out _));
        BuildSettings settings = RouteCase.Settings with
        {
            Job = RouteCase.Settings.Job with { HidesTravel = false, Fill = RouteCase.Settings.Job.Fill with { LinePitch = Spacing.FromCodes(4), PointStep = Spacing.FromCodes(3) } },
            Machine = WithCurrent(RouteCase.Machine with { Link = RouteCase.Machine.Link with { BytesPerSecond = 1e9 } }, amperes.In(Unit.Ampere)),
        };
        string fault = DwellFault(settings)!;
        Assert.Contains("error PC1402: each point inside the area needs ", fault, StringComparison.Ordinal);
        Match chosen = Automatic().Match(fault);
        Assert.True(chosen.Success, fault);
        BuildSettings open = settings with { Job = settings.Job with { Fill = settings.Job.Fill with { LinePitch = Spacing.Automatic, PointStep = Spacing.Automatic } } };
        if (chosen.Groups[1].Success)
        {
            Assert.Null(DwellFault(open with { Machine = WithCurrent(settings.Machine, Amperes(chosen.Groups[1].Value)) }));
        }
        else
        {
            Assert.Null(DwellFault(open));
        }

        Match given = Given().Match(fault);
        Assert.True(given.Success, fault);
        Assert.Null(DwellFault(settings with { Machine = WithCurrent(settings.Machine, Amperes(given.Groups[1].Value)) }));
    }

    private static double Amperes(string text)
    {
        Assert.True(Quantity.TryParse(text, [Dimension.Current], out Quantity quantity, out _));
        return quantity.In(Unit.Ampere);
    }

    private static Machine WithCurrent(Machine machine, double amperes) => machine with { Beam = machine.Beam with { CurrentAmperes = amperes } };

    private static string? DwellFault(BuildSettings settings)
    {
        var document = new FiguresDocument(new FiguresHeader(100, ["pattern"]), RouteCase.Combs);
        var records = new ScalePass(StageOptions.Scale(settings.Job, settings.Machine), new CollectingSink<PatternCompiler.Model.Records.RecordsHeader, PatternCompiler.Model.Records.DeflectionRecord>());
        try
        {
            StrokesStage.Run(document, settings, records, new DiagnosticSink(), CancellationToken.None);
            return null;
        }
        catch (CompileException fault)
        {
            return fault.Message;
        }
    }

    private static string? FaultOf(FillOptions options)
    {
        Figure[] figures =
        [
            Figure.FromTrapezoid(0, new DoseFactor(400_000), Trapezoid.FromRectangle(0, 0, 12_000, 5_000)),
            Figure.FromTrapezoid(1, DoseFactor.One, Trapezoid.FromRectangle(20_000, 0, 23_000, 9_000)),
            Figure.FromLine(1, DoseFactor.One, new GridPoint(0, 20_000), new GridPoint(9_000, 20_000)),
        ];
        try
        {
            SpacingPass.Run(new FiguresDocument(new FiguresHeader(100, ["a", "b"]), figures), options, new DiagnosticSink(), CancellationToken.None);
            return null;
        }
        catch (CompileException fault)
        {
            return fault.Message;
        }
    }

    [GeneratedRegex("lower the beam current to ([0-9.]+ [a-z]?A) or less")]
    private static partial Regex LowerCurrent();

    [GeneratedRegex(@"use a field that is at most (0\.\d+) times as wide \(higher magnification\), a DAC with more bits or a spot of ([0-9.]+ nm) or more")]
    private static partial Regex FieldAndSpot();

    [GeneratedRegex("(?:to ([0-9.]+ [a-z]?A) and )?let line pitch and point step be 'automatic'")]
    private static partial Regex Automatic();

    [GeneratedRegex("(?:, or lower the beam current from [^ ]+ [a-z]?A to|, or to) ([0-9.]+ [a-z]?A)")]
    private static partial Regex Given();
}
