using System.Text;
using System.Xml.Linq;
using CsCheck;
using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;
using SkiaSharp;

namespace PatternCompiler.Tests.Pictures.Plots;

public class PlotTests
{
    private static readonly Plot Contrast = new(
        "contrast", "onset 80 µC/cm²",
        new PlotAxis("dose (µC/cm²)", 50, 500, IsLogarithmic: true),
        new PlotAxis("remaining thickness", -0.05, 1.05),
        [
            new PlotSeries("measured", PlotMark.Dots, 0, [(60, 1), (100, 0.7), (double.NaN, 0.2), (200, 0)]),
            new PlotSeries("fit", PlotMark.Line, 1, [(50, 1), (80, 1), (180, 0), (500, 0)]),
        ])
    {
        Cells = new PlotCells(2, 1, new byte[] { 0, 5 }, new TintScale("part", "0", "1", 2)),
    };

    [Fact]
    public void Svg_is_well_formed_and_the_same_twice()
    {
        string svg = Svg();
        Assert.Equal(svg, Svg());
        XElement root = XDocument.Parse(svg).Root!;
        Assert.Equal("contrast", root.Elements().First().Value);
        Assert.DoesNotContain("NaN", svg, StringComparison.Ordinal);
    }

    [Fact]
    public void Png_has_the_plots_size_and_tinted_cells()
    {
        using var stream = new MemoryStream();
        PlotRenderer.RenderPng(Contrast, stream);
        SKBitmap picture = SKBitmap.Decode(stream.ToArray());
        Assert.Equal((960, 640), (picture.Width, picture.Height));
        Assert.Equal(SKColors.White, picture.GetPixel(150, 500));
        Assert.NotEqual(SKColors.White, picture.GetPixel(650, 300));
    }

    [Fact]
    public void Logarithmic_ticks_stand_at_one_two_and_five() =>
        Assert.Equal(["50", "100", "200", "500"], PlotTicks.Of(Contrast.X, 8).Select(tick => tick.Label));

    [Theory]
    [InlineData(90, 320, "100 150 200 300")]
    [InlineData(110, 130, "110 115 120 125 130")]
    [InlineData(1, 1e6, "1 10 100 1000 10000 100000 1000000")]
    [InlineData(1, 1e20, "1 1000 1000000 1e9 1e12 1e15 1e18")]
    public void Logarithmic_ticks_are_as_many_as_there_is_room_for(double low, double high, string labels) =>
        Assert.Equal(labels, string.Join(' ', PlotTicks.Of(new PlotAxis("dose", low, high, IsLogarithmic: true), 8).Select(tick => tick.Label)));

    // From 1e-12 to 1e12, over a hair's breadth or many decades, even and logarithmic.
    [Fact]
    public void Labels_never_touch_and_some_are_left() =>
        Gen.Select(Gen.Double[-12, 12], Gen.Double[-4, 1.3], Gen.Bool, Gen.Bool).Sample((decade, width, isLogarithmic, isX) =>
        {
            double low = Math.Pow(10, decade);
            double high = isLogarithmic ? low * Math.Pow(10, Math.Pow(10, width)) : low * (1 + Math.Pow(10, 3 * width));
            var axis = new PlotAxis("", low, high, isLogarithmic);
            int length = isX ? PlotRenderer.PlotRight - PlotRenderer.PlotLeft : PlotRenderer.PlotBottom - PlotRenderer.PlotTop;
            double Extent(string label) => isX ? Label.Width(label, 8.5) : 8.5;
            (double Place, string Label)[] shown =
                [.. TickLabels.WithRoom(PlotTicks.Of(axis, isX ? 8 : 7).Select(tick => (length * axis.PartOf(tick.Value), tick.Label)), Extent)];
            Assert.NotEmpty(shown);
            Assert.InRange(shown.Length, 1, 12);
            for (int i = 1; i < shown.Length; i++)
            {
                Assert.True(shown[i].Place - Extent(shown[i].Label) / 2 > shown[i - 1].Place + Extent(shown[i - 1].Label) / 2, $"{shown[i - 1].Label} {shown[i].Label}");
            }
        }, iter: Iterations.Usually(100));

    [Fact]
    public void Even_ticks_are_round_and_inside() =>
        Assert.Equal(["0", "0.2", "0.4", "0.6", "0.8", "1"], PlotTicks.Of(Contrast.Y, 7).Select(tick => tick.Label));

    [Fact]
    public void Axes_hold_all_values_with_room()
    {
        PlotAxis axis = PlotAxis.Around("x", [3, 7, double.NaN, double.PositiveInfinity]);
        Assert.True(axis.Low < 3 && axis.High > 7 && axis.High < 8);
        PlotAxis logarithmic = PlotAxis.Around("x", [0, 10, 1000], isLogarithmic: true);
        Assert.True(logarithmic.Low is > 5 and < 10 && logarithmic.High is > 1000 and < 2000);
        Assert.Equal((0, 1), (PlotAxis.Around("x", []).Low, PlotAxis.Around("x", []).High));
    }

    // Doubles about 5e13 lie 0.008 apart: ends a thousandth apart are one number there.
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(-3.5e7)]
    [InlineData(5e13)]
    [InlineData(-1e300)]
    public void An_axis_too_narrow_for_its_values_is_widened(double middle)
    {
        foreach (double width in (double[])[1e-3, 1e-12, 0])
        {
            if (middle == 0 && width == 0)
            {
                continue;
            }

            var axis = new PlotAxis("x", middle - width / 2, middle + width / 2);
            Assert.InRange(PlotTicks.Of(axis, 8).Count(), 2, 12);
            Assert.All(PlotTicks.Of(axis, 8), tick => Assert.InRange(axis.PartOf(tick.Value), -1e-6, 1 + 1e-6));
            Assert.InRange(axis.High - axis.Low, 0.999e-9 * Math.Abs(middle), Math.Max(width, 1.001e-9 * Math.Abs(middle)));
        }
    }

    private static string Svg()
    {
        using var stream = new MemoryStream();
        PlotRenderer.RenderSvg(Contrast, stream);
        return Encoding.UTF8.GetString(stream.ToArray());
    }
}
