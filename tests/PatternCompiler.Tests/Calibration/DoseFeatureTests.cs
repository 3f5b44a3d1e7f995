using MathNet.Numerics;
using PatternCompiler.Calibration.DoseToSize;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Calibration;

/// <summary>What a feature of a dose test looks like to the beam: strips by hand, widths by the integral of a Gaussian.</summary>
public class DoseFeatureTests
{
    private const double Long = double.PositiveInfinity;
    private static readonly SpreadFunction Narrow = SpreadFunction.TwoGaussian(50, 6000, 0.6);

    [Theory]
    [InlineData(DoseFeatureKind.Square, 200, 1, 0, Long, "-100..100")]
    [InlineData(DoseFeatureKind.Bar, 300, 1, 0, Long, "-150..150")]
    [InlineData(DoseFeatureKind.Bar, 300, 3, 500, Long, "-650..-350 -150..150 350..650")]
    [InlineData(DoseFeatureKind.Bar, 300, 4, 500, Long, "-1150..-850 -650..-350 -150..150 350..650")]
    [InlineData(DoseFeatureKind.Gap, 200, 1, 0, 5000, "-5100..-100 100..5100")]
    [InlineData(DoseFeatureKind.Gap, 200, 2, 500, Long, "-400..-100 100..400")]
    [InlineData(DoseFeatureKind.Gap, 200, 3, 500, Long, "-400..-100 100..400 600..900")]
    [InlineData(DoseFeatureKind.Gap, 200, 4, 500, Long, "-900..-600 -400..-100 100..400 600..900")]
    internal void Strips_are_what_is_drawn(DoseFeatureKind kind, double drawn, int bars, double pitch, double beside, string expected)
    {
        var feature = new DoseFeature(kind, drawn, Long, bars, pitch, beside);
        Assert.Equal(expected, string.Join(' ', feature.Strips().Select(strip => $"{strip.Left:0}..{strip.Right:0}")));
        Assert.All(feature.Strips().Zip(feature.Strips(10)), pair => Assert.Equal((pair.First.Left + 10, pair.First.Right - 10), pair.Second));
    }

    /// <summary>At its edge as printed a feature sees the level: the integral over what is exposed, strip by strip and range by range.</summary>
    [Theory]
    [InlineData(DoseFeatureKind.Bar, 1, 0, Long, 0.4)]
    [InlineData(DoseFeatureKind.Bar, 1, 0, Long, 0.5)]
    [InlineData(DoseFeatureKind.Bar, 5, 500, Long, 0.45)]
    [InlineData(DoseFeatureKind.Bar, 2, 300, Long, 0.45)]
    [InlineData(DoseFeatureKind.Gap, 4, 500, Long, 0.45)]
    [InlineData(DoseFeatureKind.Gap, 1, 0, 4000, 0.6)]
    [InlineData(DoseFeatureKind.Gap, 1, 0, 4000, 0.75)]
    internal void A_width_is_where_the_energy_crosses_the_level(DoseFeatureKind kind, int bars, double pitch, double beside, double level)
    {
        var feature = new DoseFeature(kind, 200, Long, bars, pitch, beside);
        double width = feature.PrintedWidth(Narrow, level)!.Value;
        double[] edges = [.. feature.Strips().SelectMany(strip => (double[])[strip.Left, strip.Right])];
        double Sum(double at, double range) => edges.Select((edge, i) => (i % 2 == 0 ? -0.5 : 0.5) * SpecialFunctions.Erf((edge - at) / range)).Sum();
        double Energy(double at) => (Sum(at, 50) + (0.6 * Sum(at, 6000))) / 1.6;
        double Crossing(int side)
        {
            (double inside, double outside) = (0, 149);
            for (int i = 0; i < 60; i++)
            {
                double middle = (inside + outside) / 2;
                (inside, outside) = Energy(side * middle) >= level == Energy(0) >= level ? (middle, outside) : (inside, middle);
            }

            return inside;
        }

        Assert.InRange(width, 120, 280);
        Assert.Equal(Crossing(1) + Crossing(-1), width, 1e-5);
    }

    /// <summary>Where scattered electrons alone print, a bar is micrometres wide: 0.6/1.6 · (w/(√π·6 µm))·exp(−(x/6 µm)²), for it is narrow against them.</summary>
    [Fact]
    public void A_bar_may_print_by_scattered_electrons_alone()
    {
        double level = 0.5 * 0.375 * 200 / (Math.Sqrt(Math.PI) * 6000);
        double width = new DoseFeature(DoseFeatureKind.Bar, 200, Long, 1, 0, Long).PrintedWidth(Narrow, level)!.Value;
        Assert.Equal(2 * 6000 * Math.Sqrt(Math.Log(2)), width, 1.0);
    }

    /// <summary>What does not print, and what runs together with its neighbours, has no width.</summary>
    [Fact]
    public void Nothing_and_everything_have_no_width()
    {
        var bar = new DoseFeature(DoseFeatureKind.Bar, 200, Long, 1, 0, Long);
        var dense = bar with { Bars = 5, PitchNanometres = 260 };
        var gap = new DoseFeature(DoseFeatureKind.Gap, 200, Long, 1, 0, 4000);
        Assert.Null(bar.PrintedWidth(Narrow, 0.9));
        Assert.NotNull(dense.PrintedWidth(Narrow, 0.5));
        Assert.Null(dense.PrintedWidth(Narrow, 0.2));
        Assert.Null(gap.PrintedWidth(Narrow, 0.1));
        Assert.Null(gap.PrintedWidth(Narrow, 0.99));
        Assert.Null((gap with { Bars = 4, PitchNanometres = 260 }).PrintedWidth(Narrow, 0.5));
    }

    [Theory]
    [InlineData(5.0, true)]
    [InlineData(-5.0, true)]
    [InlineData(5.1, false)]
    [InlineData(-5.1, false)]
    [InlineData(null, false)]
    public void Five_nanometres_are_right(double? error, bool holds) =>
        Assert.Equal(holds, new FeatureDose(new DoseFeature(DoseFeatureKind.Bar, 200, Long, 1, 0, Long), 1, error).Holds);

    [Theory]
    [InlineData(DoseFeatureKind.Square, 1, "square 200 nm")]
    [InlineData(DoseFeatureKind.Bar, 1, "bar 200 nm")]
    [InlineData(DoseFeatureKind.Gap, 3, "gap 200 nm, 3 bars at 450.3 nm")]
    internal void Names_say_what_stands_beside(DoseFeatureKind kind, int bars, string name) =>
        Assert.Equal(name, new DoseFeature(kind, 200, Long, bars, 450.25, Long).Name);
}
