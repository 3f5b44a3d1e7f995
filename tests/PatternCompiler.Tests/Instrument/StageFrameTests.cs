using CsCheck;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Instrument;

/// <summary>Readings of a stage and the places that they bring under the beam, whose axes are not the stage's.</summary>
public sealed class StageFrameTests
{
    /// <summary>One degree: cosine 0.99984770, sine 0.01745241 (any table of sines).</summary>
    [Theory]
    [InlineData(false, false, 1000, 0, 999.84770, 17.45241)]
    [InlineData(false, false, 0, 1000, -17.45241, 999.84770)]
    [InlineData(true, false, -1000, 0, 999.84770, 17.45241)]
    [InlineData(false, true, 0, -1000, -17.45241, 999.84770)]
    public void A_stage_that_is_turned_moves_the_place_along_its_own_axes(bool invertX, bool invertY, double x, double y, double placeX, double placeY)
    {
        Stage stage = new(1, 1) { Frame = LayerPlacement.Of(0, 0, 1, 1, 1, 0), InvertX = invertX, InvertY = invertY, OriginNanometres = (5, -7) };
        (double foundX, double foundY) = stage.PlaceAt(x + 5, y - 7);
        Assert.Equal(placeX, foundX, 5e-6);
        Assert.Equal(placeY, foundY, 5e-6);
    }

    [Fact]
    public void Readings_and_places_are_each_others_inverse() => Stages.ForEach(
        (stage, x, y) =>
        {
            (double readX, double readY) = stage.ReadingAt(x, y);
            (double backX, double backY) = stage.PlaceAt(readX, readY);
            Assert.Equal(x, backX, 1e-3);
            Assert.Equal(y, backY, 1e-3);
        });

    /// <summary>What is under the beam is what the reading says, whatever the frame: the remainder is turned with it.</summary>
    [Fact]
    public void A_stop_is_the_nearest_reading_of_whole_steps_and_knows_what_it_brings_under_the_beam() => Stages.ForEach(
        (stage, x, y) =>
        {
            (double exactX, double exactY) = stage.ReadingAt(x, y);
            StageStop stop = stage.StopAt(x, y);
            if (stage.StepNanometres == 0)
            {
                Assert.Equal(((exactX, exactY), (x, y)), (stop.Reading, stop.Place));
                return;
            }

            Assert.All(((double Exact, double Read)[])[(exactX, stop.Reading.X), (exactY, stop.Reading.Y)], axis =>
            {
                Assert.InRange(Math.Abs(axis.Exact - axis.Read), 0, (stage.StepNanometres / 2) + 1e-3);
                Assert.Equal(0, Math.IEEERemainder(axis.Read, stage.StepNanometres), 1e-3);
            });
            (double placeX, double placeY) = stage.PlaceAt(stop.Reading.X, stop.Reading.Y);
            Assert.Equal(placeX, stop.Place.X, 2e-3);
            Assert.Equal(placeY, stop.Place.Y, 2e-3);
        });

    [Fact]
    public void Places_on_whole_steps_of_a_stage_that_is_not_turned_leave_nothing()
    {
        Stage stage = new(1, 1) { StepNanometres = 250, OriginNanometres = (12_500, -750), InvertY = true };
        Assert.False(stage.LeavesRemainders);
        Assert.Equal(((13_500, 500), (1000, -1250)), (stage.StopAt(1000, -1250).Reading, stage.StopAt(1000, -1250).Place));
        Assert.True((stage with { OriginNanometres = (12_600, -750) }).LeavesRemainders);
        Assert.True((stage with { Frame = LayerPlacement.Of(0, 0, 0.01, 1, 1, 0) }).LeavesRemainders);
        Assert.False((stage with { StepNanometres = 0, OriginNanometres = (12_600, -750) }).LeavesRemainders);
    }

    /// <summary>A field 10 mm below its lens that grows in proportion to the distance does so by a tenth per millimetre.</summary>
    [Theory]
    [InlineData(10.5, 1.05)]
    [InlineData(9.5, 0.95)]
    [InlineData(10, 1.0)]
    [InlineData(25, null)]
    public void The_field_grows_with_the_working_distance(double millimetres, double? scale)
    {
        double? found = new FieldHeight(10e6, 0.1e-6).ScaleAt(millimetres * 1e6);
        Assert.Equal(scale is null, found is null);
        Assert.Equal(scale ?? 0, found ?? 0, 1e-12);
    }

    [Fact]
    public void Huge_numbers_come_back_as_numbers()
    {
        Stage stage = new(1, 1) { StepNanometres = 1e-3, OriginNanometres = (1e300, -1e300) };
        Assert.Equal((1e300, -1e300), stage.StopAt(5, 5).Reading);
    }

    private static class Stages
    {
        private static readonly Gen<LayerPlacement> Frames = Gen.Select(Gen.Double[-180, 180], Gen.Double[0.8, 1.25], Gen.Double[0.8, 1.25], Gen.Double[-0.1, 0.1])
            .Select((turn, scaleX, scaleY, skew) => LayerPlacement.Of(0, 0, turn, scaleX, scaleY, skew));

        private static readonly Gen<Stage> All = Gen.Select(Frames, Gen.Bool, Gen.Bool, Gen.Int[0, 3].Select(i => ((double[])[0, 100, 1000, 12_345])[i]), Gen.Double[-1e7, 1e7]).Select((frame, invertX, invertY, step, origin) =>
            new Stage(1, 1) { Frame = frame, InvertX = invertX, InvertY = invertY, StepNanometres = step, OriginNanometres = (origin, -0.7 * origin) });

        public static void ForEach(Action<Stage, double, double> check) =>
            Gen.Select(All, Gen.Double[-1e6, 1e6], Gen.Double[-1e6, 1e6]).Sample((stage, x, y) => check(stage, x, y), iter: Iterations.Usually(500));
    }
}
