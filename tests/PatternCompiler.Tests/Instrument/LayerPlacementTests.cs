using CsCheck;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Instrument;

/// <summary>Placements of a drawing by themselves, before calibrations and from stops of a stage: what each is made of comes out again, and what belongs together agrees for any place.</summary>
public sealed class LayerPlacementTests
{
    private const double Picometre = 1e-3;

    private static readonly Gen<(double OffsetX, double OffsetY, double Degrees, double ScaleX, double ScaleY, double Skew)> Values = Gen.Select(
        Gen.Double[-5000, 5000], Gen.Double[-5000, 5000], Gen.Double[-170, 170], Gen.Double[0.6, 1.9], Gen.Double[0.6, 1.9], Gen.Double[-0.4, 0.4]);

    private static readonly Gen<LayerPlacement> Placements = Values.Select(v => LayerPlacement.Of(v.OffsetX, v.OffsetY, v.Degrees, v.ScaleX, v.ScaleY, v.Skew));

    private static readonly Gen<LayerPlacement> SmallPlacements = Gen.Select(
        Gen.Double[-300, 300], Gen.Double[-300, 300], Gen.Double[-3, 3], Gen.Double[0.98, 1.02], Gen.Double[0.98, 1.02], Gen.Double[-0.02, 0.02]).Select(v => LayerPlacement.Of(v.Item1, v.Item2, v.Item3, v.Item4, v.Item5, v.Item6));

    private static readonly Gen<(double X, double Y)> Places = Gen.Select(Gen.Double[-30_000, 30_000], Gen.Double[-30_000, 30_000]);

    private static readonly PolynomialCalibration Polynomial = new(new FieldPolynomial(
        3, 50_000, [25, 50_250, -150, 60, -40, 30, 80, -20, 35, -50], [-40, 150, 49_900, -30, 55, 20, 10, 45, -25, 70]));

    [Fact]
    public void A_placement_is_what_it_is_made_of() => Values.Sample(v =>
    {
        LayerPlacement placement = LayerPlacement.Of(v.OffsetX, v.OffsetY, v.Degrees, v.ScaleX, v.ScaleY, v.Skew);
        Assert.Equal(v.Degrees, placement.RotationDegrees, 1e-9);
        Assert.Equal(v.ScaleX, placement.ScaleX, 1e-9);
        Assert.Equal(v.ScaleY, placement.ScaleY, 1e-9);
        Assert.Equal(v.Skew, placement.Skew, 1e-9);
        Assert.Equal(v.ScaleX * v.ScaleY, placement.Determinant, 1e-9);
        Assert.Equal((v.OffsetX, v.OffsetY), placement.Land(0, 0));

        // First scaled and leant, then turned, then moved.
        (double x, double y) = (300 * v.ScaleX + v.Skew * v.ScaleY * 200, 200 * v.ScaleY);
        (double sin, double cos) = Math.SinCos(v.Degrees * Math.PI / 180);
        AssertAt((cos * x - sin * y + v.OffsetX, sin * x + cos * y + v.OffsetY), placement.Land(300, 200));
    }, iter: Iterations.Usually(100));

    [Fact]
    public void Places_land_where_they_are_drawn_from() => Gen.Select(Placements, Places).Sample((placement, place) =>
    {
        (double x, double y) = placement.Land(place.X, place.Y);
        AssertAt(place, placement.Drawn(x, y));
    }, iter: Iterations.Usually(100));

    /// <summary>From a field, all is counted from its centre and from what is under the beam.</summary>
    [Fact]
    public void A_field_sees_what_lies_around_its_centre() => Gen.Select(Placements, Places, Places, Places).Sample((placement, centre, under, place) =>
    {
        (double x, double y) = placement.Land(centre.X + place.X, centre.Y + place.Y);
        AssertAt((x - under.X, y - under.Y), placement.From(centre.X, centre.Y, under).Land(place.X, place.Y));
        AssertAt((x - centre.X, y - centre.Y), placement.From(centre.X, centre.Y).Land(place.X, place.Y));
    }, iter: Iterations.Usually(100));

    [Fact]
    public void A_wider_field_is_asked_for_less() => Gen.Select(Placements, Places, Gen.Double[0.5, 2]).Sample((placement, place, scale) =>
    {
        (double x, double y) = placement.InFieldOf(scale).Land(place.X, place.Y);
        AssertAt(placement.Land(place.X, place.Y), (scale * x, scale * y));
    }, iter: Iterations.Usually(100));

    [Fact]
    public void Before_a_calibration_is_one_after_the_other() => Gen.Select(SmallPlacements, Places, SmallPlacements).Sample((placement, place, field) =>
    {
        var affine = new AffineCalibration(field.XX, field.XY, field.OffsetXNanometres, field.YX, field.YY, field.OffsetYNanometres);
        foreach (FieldCalibration calibration in (FieldCalibration[])[affine, Polynomial])
        {
            FieldCalibration placed = placement.Before(calibration);
            Assert.Equal(calibration.KeepsLinesStraight, placed.KeepsLinesStraight);
            (double x, double y) = placement.Land(place.X, place.Y);
            Assert.True(calibration.TryCommand(x, y, out double commandedX, out double commandedY));
            Assert.True(placed.TryCommand(place.X, place.Y, out double foundX, out double foundY));
            AssertAt((commandedX, commandedY), (foundX, foundY));
            AssertAt(place, placed.Land(foundX, foundY));
        }

        // Near the centre the affine part stands for the whole; 10 nm away the bends are picometres.
        FieldCalibration bent = placement.Before(Polynomial);
        (double middleX, double middleY) = bent.Land(0, 0);
        Assert.True(bent.AtCentre.TryCommand(middleX, middleY, out double atX, out double atY));
        AssertAt((0, 0), (atX, atY));
        Assert.True(bent.TryCommand(middleX + 10, middleY - 7, out double bentX, out double bentY));
        Assert.True(bent.AtCentre.TryCommand(middleX + 10, middleY - 7, out atX, out atY));
        AssertAt((bentX, bentY), (atX, atY));
    }, iter: Iterations.Usually(50));

    /// <summary>Each number of a placement, and of the field behind it, tells it from others.</summary>
    [Fact]
    public void Placements_that_differ_have_other_numbers()
    {
        LayerPlacement one = new(1, 2, 3, 4, 5, 6);
        LayerPlacement[] all = [one, one with { XX = 9 }, one with { XY = 9 }, one with { OffsetXNanometres = 9 }, one with { YX = 9 }, one with { YY = 9 }, one with { OffsetYNanometres = 9 }];
        Assert.Equal(all.Length, all.Select(placement => string.Join(' ', placement.Numbers)).Distinct().Count());
        FieldCalibration[] fields = [Polynomial, new PolynomialCalibration(Polynomial.Polynomial with { HalfFieldNanometres = 49_000 })];
        Assert.Equal(2 * all.Length, all.SelectMany(placement => fields.Select(field => string.Join(' ', placement.Before(field).Numbers))).Distinct().Count());
        Assert.NotEqual(string.Join(' ', Polynomial.Numbers), string.Join(' ', LayerPlacement.Identity.Before(Polynomial).Numbers));
    }

    /// <summary>
    /// Whatever the stage, the sample and the layer below: a field's centre lies where the sample puts it, the stage stands within half a step of it, and the
    /// deflection, in a field that the height has widened, takes every place of the field from there to where it belongs.
    /// </summary>
    [Fact]
    public void A_field_is_written_where_it_belongs_from_wherever_the_stage_stands() => Gen.Select(SmallPlacements, SmallPlacements, Places, Places, Gen.Bool, Gen.Bool, Gen.Bool).Sample((sample, whole, centre, place, hasWhole, isTurned, isMirrored) =>
    {
        var stage = new Stage(1e6, 0.5)
        {
            StepNanometres = 250,
            OriginNanometres = (1_000_030, -2_000_070),
            InvertX = isMirrored,
            InvertY = !isMirrored,
            Frame = isTurned ? LayerPlacement.Of(0, 0, 1.5, 1.001, 0.998, 0.002) : null,
            Height = new FieldHeight(10e6, 1e-7),
        };
        var focus = new FocusPlane(10.2e6, 0.01, -0.02);
        LayerAlignment alignment = (hasWhole ? LayerAlignment.Of(whole) : new LayerAlignment(null, LayerAlignment.Of(whole).Fields)) with { Sample = sample, Focus = focus };
        Machine machine = PatternCompiler.Jobs.DefaultFiles.Machine;
        machine = machine with { Stage = stage, Deflection = machine.Deflection with { Alignment = alignment } };
        StageView view = StageView.Of(machine, "r01c01", centre.X, centre.Y);
        AssertAt(sample.Land(centre.X, centre.Y), view.Target);
        AssertAt(stage.PlaceAt(view.Stop.Reading.X, view.Stop.Reading.Y), view.Stop.Place);
        AssertAt((view.Target.X - view.Stop.Place.X, view.Target.Y - view.Stop.Place.Y), view.Remainder);
        Assert.InRange(Math.Max(Math.Abs(view.Remainder.X), Math.Abs(view.Remainder.Y)), 0, 0.75 * 250);
        Assert.Equal(10.2e6 + 0.01 * centre.X - 0.02 * centre.Y, view.FocusNanometres!.Value, 1e-6);

        // Without an alignment of the layer the pattern lies along the beam's axes.
        double scale = 1 + 1e-7 * (view.FocusNanometres.Value - 10e6);
        (double x, double y) = hasWhole ? whole.Land(centre.X + place.X, centre.Y + place.Y) : (centre.X + place.X, centre.Y + place.Y);
        (double foundX, double foundY) = view.Placement!.Land(place.X, place.Y);
        AssertAt((x - view.Stop.Place.X, y - view.Stop.Place.Y), (scale * foundX, scale * foundY));
    }, iter: Iterations.Usually(50));

    /// <summary>A machine without a stage, a sample or a height writes a field as it is drawn, in the place where it is drawn.</summary>
    [Fact]
    public void Nothing_is_made_of_a_field_where_nothing_is_known()
    {
        Machine machine = PatternCompiler.Jobs.DefaultFiles.Machine with { Stage = null };
        StageView view = StageView.Of(machine, "r01c01", 1234, -567);
        Assert.Equal(((1234.0, -567.0), (1234.0, -567.0), (0.0, 0.0), null, null), (view.Target, view.Stop.Place, view.Remainder, view.FocusNanometres, view.Placement));
        Assert.Empty(StageView.LinesOf(machine));
    }

    /// <summary>The loops before a field go around its middle as the beam lands, whatever the layer's place: lower left, lower right, upper right, upper left.</summary>
    [Fact]
    public void Loops_are_round_the_middle_of_the_field() => SmallPlacements.Sample(placement =>
    {
        Machine machine = PatternCompiler.Jobs.DefaultFiles.Machine;
        var loops = new ConditioningLoops(3, 60_000, 40_000);
        (long X, long Y)[] corners = [(-30_000, -20_000), (30_000, -20_000), (30_000, 20_000), (-30_000, 20_000)];
        Assert.Equal(corners.Select(corner => (1_000_000 * corner.X, 1_000_000 * corner.Y)), PatternCompiler.Jobs.StageOptions.ConditioningCorners(machine, loops));
        (long X, long Y)[] drawn = [.. PatternCompiler.Jobs.StageOptions.ConditioningCorners(machine with { Deflection = machine.Deflection with { Placement = placement } }, loops)];
        Assert.All(drawn, (at, i) => AssertAt((corners[i].X, corners[i].Y), placement.Land(at.X * 1e-6, at.Y * 1e-6)));
    }, iter: Iterations.Usually(20));

    /// <summary>Of a sum the largest part counts, along whichever axis it is.</summary>
    [Fact]
    public void One_exponential_stands_for_the_largest_part()
    {
        SettlePart[] one = [new(0.6, 5e-6), new(0.4, 9e-6)], other = [new(0.1, 50e-6), new(0.9, 7e-6)];
        Assert.Equal(7e-6, (new SettleModel(0, 50e-6, 0) { ResponseX = [.. one], ResponseY = [.. other] }).Dominant.TimeConstantSeconds);
        SettleModel dominant = (new SettleModel(2e-6, 50e-6, 0) { ResponseX = [.. other], ResponseY = [.. one] }).Dominant;
        Assert.Equal((7e-6, 2e-6, false), (dominant.TimeConstantSeconds, dominant.FixedSeconds, dominant.IsSum));
        var plain = new SettleModel(0, 3e-6, 0);
        Assert.Same(plain, plain.Dominant);
    }

    /// <summary>
    /// Far out of focus an exponential spread of 30 nm counts as the Gaussian of its variance, 3·30² along an axis, which is half of the square of the 1/e radius;
    /// a spot of 200 nm at half maximum has a 1/e radius of 200/(2·sqrt(ln 2)) = 120.112 nm.
    /// </summary>
    [Fact]
    public void Out_of_focus_only_variances_count()
    {
        var spread = new SpreadFunction([new SpreadTerm(SpreadShape.Gaussian, 100, 1), new SpreadTerm(SpreadShape.Exponential, 30, 0.5)]);
        SpreadFunction wide = spread.OutOfFocus(200);
        Assert.All(wide.Terms, term => Assert.Equal(SpreadShape.Gaussian, term.Shape));
        Assert.Equal([Math.Sqrt(100 * 100 + 120.112 * 120.112), Math.Sqrt(6 * 30 * 30 + 120.112 * 120.112)], wide.Terms.Select(term => term.RangeNanometres), (a, b) => Math.Abs(a - b) < 0.01);
    }

    private static void AssertAt((double X, double Y) expected, (double X, double Y) found) =>
        Assert.True(Math.Abs(expected.X - found.X) < Picometre && Math.Abs(expected.Y - found.Y) < Picometre, FormattableString.Invariant($"{expected} expected, {found} found"));
}
