using System.Globalization;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.StageFrame;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Calibration;

/// <summary>Readings from both sides of marks, by hand: what a move from the other side ends short, and how well that is known.</summary>
public sealed class BacklashFitterTests
{
    /// <summary>
    /// Each of four corners is read twice from below and twice from above, by 100 nm to either side: 16 readings less 4 numbers leave a variance of
    /// 16·100²/12, and the difference of two means of eight has a quarter of it, so its standard error is 57.7 nm. Four of them are 230.9 nm.
    /// </summary>
    [Theory]
    [InlineData(true, 700, 700.0)]
    [InlineData(false, 700, 700.0)]
    [InlineData(true, 0, 0.0)]
    [InlineData(true, -230, 0.0)]
    [InlineData(false, -230, 0.0)]
    [InlineData(true, -232.44, null)]
    [InlineData(false, -232.44, null)]
    public void A_backlash_within_its_error_of_none_is_none(bool isX, double shortfall, double? expected)
    {
        StageReading[] readings =
        [
            .. from corner in ((double X, double Y)[])[(-2e4, -1e4), (2e4, -1e4), (2e4, 1e4), (-2e4, 1e4)]
               from off in new[] { -100.0, 100 }
               from isAbove in new[] { false, true }
               let reading = off - (isAbove ? shortfall : 0)
               select new StageReading("m", corner.X, corner.Y, 0, 0, corner.X + 5e6 + (isX ? reading : 0), corner.Y - 3e6 + (isX ? 0 : reading), double.NaN, double.NaN, isX && isAbove, !isX && isAbove, double.NaN),
        ];
        var stage = new Stage(1, 1) { OriginNanometres = (5e6, -3e6) };
        Assert.Null(BacklashFitter.Fit(readings, stage, !isX, isAbove: false));
        if (expected is not double value)
        {
            Diagnostic fault = Assert.Throws<CompileException>(() => BacklashFitter.Fit(readings, stage, isX, isAbove: false)).Diagnostic;
            string axis = isX ? "x" : "y";
            Assert.Equal($"the stage reads 232.4 nm more in {axis} where it has come down to a mark, and backlash makes it read less", fault.Message);
            Assert.Equal($"look whether 'from {axis}' says the side that the stage came from: below where the reading rose towards the mark", fault.Fix);
            return;
        }

        foreach (bool common in (bool[])[false, true])
        {
            FitParameter fit = BacklashFitter.Fit(readings, stage, isX, common)!;
            Assert.Equal((isX ? "backlash-x" : "backlash-y", "nm", value), (fit.Name, fit.Unit, Math.Round(fit.Value, 6)));
            Assert.Equal(100 / Math.Sqrt(3), fit.StandardError, 1e-6);
        }
    }

    /// <summary>Too few readings for an error of their own: the mean of what those from the other side miss, through the frame.</summary>
    [Theory]
    [InlineData(true, true)]
    [InlineData(true, false)]
    [InlineData(false, true)]
    [InlineData(false, false)]
    public void Few_readings_tell_their_mean_shortfall(bool isX, bool isAbove)
    {
        StageReading[] readings = ReadingsOfFour(isX, isAbove, 900, 1500);
        FitParameter fit = BacklashFitter.Fit(readings, Turned, isX, isAbove)!;
        Assert.Equal(1200, fit.Value, 1e-5);
        Assert.True(double.IsNaN(fit.StandardError));

        // Exactly none at all is none.
        StageReading[] none = [.. readings.Select(r => r with { ReadingX = r.Under.X, ReadingY = r.Under.Y })];
        Assert.Equal(0, BacklashFitter.Fit(none, new Stage(1, 1), isX, isAbove)!.Value);

        // Marks along a line do not tell two slopes: the mean counts, however many there are. Each reads 10 nm more than the one before: from below 0, 10
        // and 20, from above 30, 40 and 50.
        StageReading[] along = [.. Enumerable.Range(0, 6).Select(i => none[i % 3] with { PlaceX = 700 + (i * 1e4), PlaceY = (i * 2e4) - 300, ReadingX = (i * 1e4) + (isX ? i * 10 : 0), ReadingY = (i * 2e4) + (isX ? 0 : i * 10), FromAboveX = i > 2, FromAboveY = i > 2 })];
        Assert.Equal(isAbove ? 10 : -40, Math.Round(isAbove ? BacklashFitter.Fit(along, new Stage(1, 1), isX, isAbove)!.Value : MeanOf(along), 6));

        double MeanOf(StageReading[] all) => -double.Parse(
            Assert.Throws<CompileException>(() => BacklashFitter.Fit(all, new Stage(1, 1), isX, isAbove)).Diagnostic.Message.Split(' ')[3], CultureInfo.InvariantCulture);
    }

    /// <summary>Five readings have one to spare, and their own error.</summary>
    [Theory]
    [InlineData(true, true)]
    [InlineData(true, false)]
    [InlineData(false, true)]
    [InlineData(false, false)]
    public void Five_readings_tell_an_error(bool isX, bool isAbove)
    {
        StageReading[] readings = ReadingsOfFour(isX, isAbove, 1200, 1200);

        // They agree to the last nanometre.
        (double moreX, double moreY) = Turned.ReadingAt(5e4, 5e4);
        FitParameter fit = BacklashFitter.Fit([.. readings, new StageReading("n", 5e4, 5e4, 0, 0, moreX, moreY, double.NaN, double.NaN, isAbove, isAbove, double.NaN)], Turned, isX, isAbove)!;
        Assert.Equal(1200, fit.Value, 1e-5);
        Assert.InRange(fit.StandardError, 0, 1e-5);
    }

    private static Stage Turned { get; } = new(1, 1) { Frame = LayerPlacement.Of(0, 0, 30, 1.01, 0.98, 0.01), InvertY = true, OriginNanometres = (1e6, 4e6) };

    // Two marks from the usual side, and two from the other, which miss so much.
    private static StageReading[] ReadingsOfFour(bool isX, bool isAbove, double firstShort, double secondShort)
    {
        (double X, double Y, double Short)[] places = [(3e4, -1e4, 0), (-2e4, 5e3, 0), (1e4, 4e4, firstShort), (-4e4, -2e4, secondShort)];
        return
        [
            .. places.Select(place =>
            {
                (double x, double y) = Turned.ReadingAt(place.X - 700, place.Y + 300);
                double less = isAbove ? -place.Short : place.Short;
                bool isOther = place.Short > 0;
                return new StageReading("m", place.X, place.Y, 700, -300, x - (isX ? less : 0), y - (isX ? 0 : less), double.NaN, double.NaN, isOther != isAbove, isOther != isAbove, double.NaN);
            }),
        ];
    }
}
