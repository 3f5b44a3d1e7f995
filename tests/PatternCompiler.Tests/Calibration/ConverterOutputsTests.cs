using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Converters;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Instrument;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Tests.Calibration;

/// <summary>What is printed and drawn of a fit of two outputs that has no number twice; a step is 1 mV.</summary>
public sealed class ConverterOutputsTests
{
    private static readonly OutputFit X = new('x')
    {
        GainError = new("x-gain-error", "%", 0.4, 0.1, 0.2, 0.6),
        Offset = new("x-offset", "mV", 12.5, 0.5, 11.5, 13.5),
        Crosstalk = new("x-from-y", "", 0.0006, 0.0001, 0.0004, 0.0008),
        Levels = [new(0, 0.0625, 0.1, 2), new(32_768, -0.0625, 0.1, 1), new(65_535, 1.5, 0.1, 1)],
        Usable = new CodeRange(0, 65_535),
        Clips = (false, false),
        Residuals = (4, 0.5, 1.25),
        DegreesOfFreedom = 1,
        LargestNonlinearity = (32_768, -0.75),
    };

    private static readonly OutputFit Y = new('y')
    {
        GainError = new("y-gain-error", "%", -0.3, 0.2, -0.7, 0.1),
        Offset = new("y-offset", "mV", -4, 0.25, -4.5, -3.5),
        Crosstalk = null,
        Levels = [new(100, -0.0001, 0.1, 1), new(60_000, -2, 0.1, 1)],
        Usable = new CodeRange(100, 60_000),
        Clips = (false, true),
        Residuals = (1, 0.25, 2.5),
        DegreesOfFreedom = 2,
        LargestNonlinearity = (100, 3.25),
    };

    [Theory]
    [InlineData(false, true, "the amplifier clips above")]
    [InlineData(true, false, "the amplifier clips below")]
    [InlineData(true, true, "the amplifier clips below and above")]
    [InlineData(false, false, "nothing was read beyond")]
    public void The_fragment_as_a_whole(bool clipsLow, bool clipsHigh, string where) => Assert.Equal(
        $$"""
        # output x: 4 readings of 3 codes, rms residual 0.5 mV (0.5 steps), largest 1.25 mV
        # x-gain-error: 0.4 %, standard error 0.1 %, 95% from 0.2 to 0.6 %
        # x-offset: 12.5 mV, standard error 0.5 mV, 95% from 11.5 to 13.5 mV
        # x-from-y: 0.0006, standard error 0.0001, 95% from 0.0004 to 0.0008
        # x-nonlinearity: largest at code 32768, -0.75 steps off the straight line
        # output y: 1 reading of 2 codes, rms residual 0.25 mV (0.25 steps), largest 2.5 mV
        # y-gain-error: -0.3 %, standard error 0.2 %, 95% from -0.7 to 0.1 %
        # y-offset: -4 mV, standard error 0.25 mV, 95% from -4.5 to -3.5 mV
        # y-nonlinearity: largest at code 100, 3.25 steps off the straight line
        # y-usable: codes 100 to 60000 of 0 to 65535; {{where}}
        # what 'calibration' holds was measured through these outputs: measure it again when they are stated
        deflection:
          linearity_x: [[0, 0.063], [32768, -0.063], [65535, 1.5]]
          linearity_y: [[100, 0], [60000, -2]]
          crosstalk: {x_from_y: 0.0006}
          usable_y: [100, 60000]

        """,
        ConverterText.Of(new ConverterFit(X, Y with { Clips = (clipsLow, clipsHigh) }, 1e-3), ConverterTables.Dac));

    [Fact]
    public void Of_places_on_the_sample_only_the_bend_is_printed()
    {
        string text = ConverterText.Of(new ConverterFit(X with { Crosstalk = null }, Y with { Crosstalk = new("y-from-x", "", -0.00025, 1e-4, -4e-4, -1e-4), Usable = new CodeRange(0, 65_535) }, 1e-3) { IsFromPlaces = true }, ConverterTables.Dac);
        Assert.DoesNotContain("gain-error", text, StringComparison.Ordinal);
        Assert.DoesNotContain("-offset: ", text, StringComparison.Ordinal);
        Assert.DoesNotContain("usable", text, StringComparison.Ordinal);
        Assert.Contains("# gain, offset and crosstalk are those of the field: 'patternc fit field'\n", text, StringComparison.Ordinal);
        Assert.Contains("\n  crosstalk: {y_from_x: -0.00025}\n", text, StringComparison.Ordinal);
    }

    /// <summary>Steps 1, 2 and 6 over codes 0, 1000 and 2000, about their means and less 0.4 %: 2, −1, −1; of y with −0.2 %, steps 5 and −1 about 2: 2, −2.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void The_plot_shows_what_is_off_the_straight_line(bool isFromPlaces)
    {
        OutputFit x = X with { Levels = [new(0, 1, 0.1, 1), new(1000, 2, 0.1, 1), new(2000, 6, 0.1, 1)] };
        OutputFit y = Y with { GainError = Y.GainError with { Value = -0.2 }, Levels = [new(500, 5, 0.1, 1), new(1500, -1, 0.1, 1)] };
        Plot plot = ConverterPlot.Compose(new ConverterFit(x, y, 1e-3) { IsFromPlaces = isFromPlaces });
        Assert.Equal("what the outputs give off their straight lines", plot.Title);
        Assert.Equal(
            isFromPlaces ? "x: codes 0 to 65535 · y: codes 100 to 60000" : "x: gain 0.4 % off, offset 12.5 mV, codes 0 to 65535 · y: gain -0.2 % off, offset -4 mV, codes 100 to 60000",
            plot.Facts);
        Assert.Equal([("x", PlotMark.Line, 0), ("", PlotMark.Dots, 0), ("y", PlotMark.Line, 1), ("", PlotMark.Dots, 1)], plot.Series.Select(series => (series.Name, series.Mark, series.Hue)));
        (double, double)[] bentX = isFromPlaces ? [(0, 1), (1000, 2), (2000, 6)] : [(0, 2), (1000, -1), (2000, -1)];
        (double, double)[] bentY = isFromPlaces ? [(500, 5), (1500, -1)] : [(500, 2), (1500, -2)];
        foreach ((PlotSeries series, (double, double)[] expected) in plot.Series.Zip([bentX, bentX, bentY, bentY]))
        {
            Assert.Equal(expected, series.Points.Select(point => (point.X, Math.Round(point.Y, 9))));
        }

        Assert.InRange(plot.X.Low, double.NegativeInfinity, 0);
        Assert.InRange(plot.X.High, 2000, double.PositiveInfinity);
        Assert.InRange(plot.Y.Low, double.NegativeInfinity, isFromPlaces ? -1 : -2);
        Assert.InRange(plot.Y.High, isFromPlaces ? 6 : 2, double.PositiveInfinity);
    }
}
