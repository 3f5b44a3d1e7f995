using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Spread;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Tests.Calibration;

public class SpreadFitterTests
{
    private static readonly double[] Radii = [15, 25, 40, 60, 90, 150, 300, 600, 1000, 1500, 2200, 3000, 4000];

    [Theory]
    [InlineData(30, 2000, 0.74)]
    [InlineData(24, 9500, 0.74)]
    [InlineData(60, 1200, 0.5)]
    public void Noiseless_dots_give_back_the_spread(double forward, double backscatter, double ratio)
    {
        double[] charges = [.. Radii.Select(r => 0.5 / Spread(r, forward, backscatter, ratio))];
        SpreadFit fit = SpreadFitter.Fit(charges, Radii, 0, new DiagnosticSink());
        Assert.Equal(forward, fit.Forward.Value, forward * 1e-5);
        Assert.Equal(backscatter, fit.Backscatter.Value, backscatter * 1e-5);
        Assert.Equal(ratio, fit.Ratio.Value, ratio * 1e-5);
        Assert.All(Radii.Zip(charges), p => Assert.Equal(1, fit.ChargeForRadius(p.First) / p.Second, 6));
    }

    /// <summary>Charges in any unit tell the same ranges and their intervals.</summary>
    [Theory]
    [InlineData(1e12)]
    [InlineData(1e-12)]
    public void The_unit_of_charge_does_not_matter(double unit)
    {
        double[] charges = [.. Radii.Select((r, i) => (1 + 0.03 * (i * 5 % 3 - 1)) / Spread(r, 30, 2000, 0.74))];
        SpreadFit here = SpreadFitter.Fit(charges, Radii, 0, new DiagnosticSink());
        SpreadFit there = SpreadFitter.Fit([.. charges.Select(charge => charge * unit)], Radii, 0, new DiagnosticSink());
        Assert.All(new[] { (here.Forward, there.Forward), (here.Backscatter, there.Backscatter), (here.Ratio, there.Ratio) }, pair =>
        {
            Assert.Equal(pair.Item1.Value, pair.Item2.Value, 1e-3 * pair.Item1.StandardError);
            Assert.Equal(pair.Item1.Low, pair.Item2.Low, 1e-3 * pair.Item1.StandardError);
            Assert.Equal(pair.Item1.High, pair.Item2.High, 1e-3 * pair.Item1.StandardError);
        });
        Assert.Equal(here.LogCharge + Math.Log(unit), there.LogCharge, 1e-6);
    }

    [Fact]
    public void Noise_widens_the_interval_around_the_truth()
    {
        var random = new Random(3);
        double[] charges = [.. Radii.Select(r => Math.Exp(0.02 * (random.NextDouble() - 0.5)) / Spread(r, 30, 2000, 0.74))];
        SpreadFit fit = SpreadFitter.Fit(charges, Radii, 0, new DiagnosticSink());
        Assert.InRange(2000, fit.Backscatter.Low, fit.Backscatter.High);
        Assert.InRange(30, fit.Forward.Low, fit.Forward.High);
        Assert.True(fit.Forward.StandardError > 0);
    }

    /// <summary>
    /// Residuals from the model's own definition, ln(Q) = c − ln(f(r)), solved by bisection; slopes by differences of the residuals.
    /// </summary>
    [Theory]
    [InlineData(30, 2000, 0.74)]
    [InlineData(45, 900, 1.6)]
    public void Residuals_and_slopes_are_those_of_the_model(double forward, double backscatter, double ratio)
    {
        double[] charges = [.. Radii.Select((r, i) => (0.7 + 0.1 * (i % 5)) / Spread(r, forward, backscatter, ratio))];
        var model = new DotModel(charges, Radii);
        double[] parameters = [Math.Log(forward), Math.Log(backscatter), Math.Log(ratio), -0.6];
        double[] residuals = new double[Radii.Length];
        double[] slopes = new double[4 * Radii.Length];
        Assert.True(model.Evaluate(parameters, residuals, slopes));
        for (int i = 0; i < Radii.Length; i++)
        {
            Assert.Equal(Math.Log(Radii[i]) - LogRadiusOf(charges[i], parameters), residuals[i], 1e-9);
            for (int p = 0; p < 4; p++)
            {
                double[] more = [.. parameters], less = [.. parameters];
                (more[p], less[p]) = (parameters[p] + 1e-5, parameters[p] - 1e-5);
                double change = (LogRadiusOf(charges[i], less) - LogRadiusOf(charges[i], more)) / 2e-5;
                Assert.Equal(change, slopes[4 * i + p], 1e-6 * (1 + Math.Abs(change)));
            }
        }

        // A charge that clears nothing, not even in the middle, has no radius.
        Assert.False(new DotModel([0.5 / Spread(0, forward, backscatter, ratio)], [10]).Evaluate(parameters, new double[1], new double[4]));

        static double LogRadiusOf(double charge, double[] p)
        {
            (double low, double high) = (-5, 15);
            for (int step = 0; step < 200; step++)
            {
                double middle = (low + high) / 2;
                (low, high) = Math.Log(charge) < p[3] - Math.Log(Spread(Math.Exp(middle), Math.Exp(p[0]), Math.Exp(p[1]), Math.Exp(p[2]))) ? (low, middle) : (middle, high);
            }

            return (low + high) / 2;
        }
    }

    [Fact]
    public void Dots_that_no_spread_makes_are_refused_with_how_far_they_are_off()
    {
        double[] charges = [.. Radii.Select((r, i) => (i % 2 == 0 ? 20 : 0.05) / Spread(r, 30, 2000, 0.74))];
        string message = Assert.Throws<CompileException>(() => SpreadFitter.Fit(charges, Radii, 0, new DiagnosticSink())).Message;
        Assert.Matches("^error PC4007: no two-Gaussian spread describes these dots: the best one misses the radii by [0-9]{2,3} % \\(root mean square\\), more than [0-9]+ % ", message);
    }

    /// <summary>Dots that one Gaussian makes have no second range.</summary>
    [Fact]
    public void One_range_is_not_taken_for_two()
    {
        double[] charges = [.. Radii[..9].Select(r => Math.Exp(r * r / (400.0 * 400)))];
        Assert.StartsWith(
            "error PC4004: the dots do not separate the forward from the backscattered range",
            Assert.Throws<CompileException>(() => SpreadFitter.Fit(charges, Radii[..9], 0, new DiagnosticSink())).Message,
            StringComparison.Ordinal);
    }

    /// <summary>Backscattering that brings a millionth of what forward scattering does (ln below -14) is told by nothing but the largest dots' places: it is no second range.</summary>
    [Theory]
    [InlineData(1e-5, true)]
    [InlineData(1e-7, false)]
    public void A_ratio_of_a_millionth_is_no_second_range(double ratio, bool isRange)
    {
        double[] charges = [.. Radii.Select(r => 1 / Spread(r, 30, 2000, ratio))];
        if (isRange)
        {
            Assert.Equal(1, SpreadFitter.Fit(charges, Radii, 0, new DiagnosticSink()).Ratio.Value / ratio, 1e-3);
            return;
        }

        Assert.Equal("PC4004", Assert.Throws<CompileException>(() => SpreadFitter.Fit(charges, Radii, 0, new DiagnosticSink())).Diagnostic.Code.Id);
    }

    /// <summary>
    /// What is told of a spot is that of the fit without one, each range less the spot's 1/e radius (a full width at half maximum over
    /// 2·√(ln 2)) in quadrature, and none where the range's end is below it.
    /// </summary>
    [Theory]
    [InlineData(10)]
    [InlineData(49)]
    public void A_spot_is_taken_out_of_values_and_intervals_in_quadrature(double spot)
    {
        double[] charges = [.. Radii.Select((r, i) => (1 + 0.03 * (i * 5 % 3 - 1)) / Spread(r, 30, 2000, 0.74))];
        SpreadFit without = SpreadFitter.Fit(charges, Radii, 0, new DiagnosticSink()), with = SpreadFitter.Fit(charges, Radii, spot, new DiagnosticSink());
        double radius = spot / (2 * Math.Sqrt(Math.Log(2)));
        Assert.Equal(without.Forward.Low < radius, with.Forward.Low == 0);
        Assert.Equal(spot == 49, with.Forward.Low == 0);
        AssertLess(without.Forward, with.Forward);
        AssertLess(without.Backscatter, with.Backscatter);
        Assert.Equal(without.Ratio, with.Ratio);
        Assert.Equal((without.Forward.Value, without.Backscatter.Value, spot), (with.ForwardWithSpot, with.BackscatterWithSpot, with.SpotNanometres));
        Assert.Equal((without.RootMeanSquareResidual, without.LogCharge, 9), (with.RootMeanSquareResidual, with.LogCharge, with.DegreesOfFreedom));
        Assert.Equal(without.LogCovariance.AsEnumerable(), with.LogCovariance.AsEnumerable());
        Assert.Equal(("forward", "backscatter", "ratio"), (with.Forward.Name, with.Backscatter.Name, with.Ratio.Name));

        void AssertLess(FitParameter all, FitParameter own)
        {
            Assert.Equal(Less(all.Value), own.Value, 1e-9 * all.Value);
            Assert.Equal(Less(all.Low), own.Low, 1e-9 * all.Value);
            Assert.Equal(Less(all.High), own.High, 1e-9 * all.Value);
        }

        double Less(double range) => range <= radius ? 0 : Math.Sqrt(range * range - radius * radius);
    }

    /// <summary>Radii that are off by a factor of e^0.05 in turns, with the spread known, leave no more than that and hardly less.</summary>
    [Fact]
    public void The_residual_is_that_of_the_radii()
    {
        double[] radii = [.. Enumerable.Range(0, 60).Select(i => 15 * Math.Exp(i * 0.095))];
        double[] read = [.. radii.Select((r, i) => r * Math.Exp(i % 4 is 0 or 3 ? 0.05 : -0.05))];
        SpreadFit fit = SpreadFitter.Fit([.. radii.Select(r => 0.5 / Spread(r, 30, 2000, 0.74))], read, 0, new DiagnosticSink());
        Assert.InRange(fit.RootMeanSquareResidual, 0.045, 0.05);
    }

    /// <summary>Five dots leave one to spare of four parameters, enough for intervals of both ranges and their ratio.</summary>
    [Fact]
    public void One_dot_to_spare_gives_intervals()
    {
        double[] radii = [25, 60, 300, 1500, 3500];
        SpreadFit fit = SpreadFitter.Fit([.. radii.Select((r, i) => (1 + (0.002 * (i % 2))) / Spread(r, 30, 2000, 0.74))], radii, 0, new DiagnosticSink());
        Assert.All(new[] { fit.Forward, fit.Backscatter, fit.Ratio }, p => Assert.False(double.IsNaN(p.Low) || double.IsNaN(p.High)));
        Assert.InRange(fit.Ratio.Value, fit.Ratio.Low, fit.Ratio.High);
    }

    [Fact]
    public void Too_few_dots_are_refused()
    {
        var error = Assert.Throws<CompileException>(() => SpreadFitter.Fit([1, 2, 3], [10, 100, 1000], 0, new DiagnosticSink()));
        Assert.Equal(
            "error PC4002: 3 dots cannot determine the range of forward scattering, the range of backscattering, their ratio "
            + "and the threshold; measure five dots or more, with charges over several decades",
            error.Message);
    }

    [Fact]
    public void Radii_of_one_size_are_refused()
    {
        var error = Assert.Throws<CompileException>(
            () => SpreadFitter.Fit([1, 2, 3, 4, 5], [10, 12, 14, 16, 18], 0, new DiagnosticSink()));
        Assert.Equal("PC4003", error.Diagnostic.Code.Id);
    }

    /// <summary>The bounds themselves: four dots, 2000 dots, and radii five times as large as the smallest are still taken.</summary>
    [Theory]
    [InlineData(3, "PC4002")]
    [InlineData(4, "PC4003")]
    [InlineData(2000, "PC4003")]
    [InlineData(2001, "PC4001")]
    public void Numbers_of_dots_are_bounded(int count, string code) => Assert.Equal(
        code,
        Assert.Throws<CompileException>(() => SpreadFitter.Fit([.. Enumerable.Range(1, count).Select(i => (double)i)], [.. Enumerable.Repeat(10.0, count)], 0, new DiagnosticSink())).Diagnostic.Code.Id);

    [Fact]
    public void Radii_of_one_decade_are_named_and_four_dots_have_no_error()
    {
        double[] radii = [40, 80, 120, 199];
        Assert.Equal(
            "error PC4003: the radii reach only from 40 to 199 nm, which cannot tell forward scattering from backscattering; add dots of much larger charge, until the radius grows to micrometres",
            Assert.Throws<CompileException>(() => Fit(radii, new DiagnosticSink())).Message);
        radii = [40, 80, 120, 200];
        var sink = new DiagnosticSink();
        SpreadFit fit = Fit(radii, sink);
        Assert.Equal("warning PC4006: four dots determine the four parameters exactly, so nothing is known of their error; measure more dots", Assert.Single(sink.Collected).ToString());
        Assert.Equal(40, fit.Forward.Value, 0.1);
        Assert.All(new[] { fit.Forward, fit.Backscatter, fit.Ratio }, parameter => Assert.True(double.IsNaN(parameter.Low) && double.IsNaN(parameter.High) && double.IsNaN(parameter.StandardError)));

        static SpreadFit Fit(double[] radii, DiagnosticSink sink) => SpreadFitter.Fit([.. radii.Select(r => 1 / Spread(r, 40, 100, 0.5))], radii, 0, sink);
    }

    /// <summary>The band about a radius, √(gᵀ·C·g)·t: g by solving the definition for the radius again, t = 2.262 for nine spare dots (any handbook's table).</summary>
    [Fact]
    public void The_band_follows_from_the_covariance()
    {
        double[] charges = [.. Radii.Select((r, i) => (1 + 0.03 * (i * 5 % 3 - 1)) / Spread(r, 30, 2000, 0.74))];
        SpreadFit fit = SpreadFitter.Fit(charges, Radii, 0, new DiagnosticSink());
        double[] at = [Math.Log(fit.ForwardWithSpot), Math.Log(fit.BackscatterWithSpot), Math.Log(fit.Ratio.Value), fit.LogCharge];
        foreach (double radius in (double[])[20, 70, 200, 1500, 5000])
        {
            double charge = fit.ChargeForRadius(radius);
            Assert.Equal(fit.LogCharge, Math.Log(charge) + Math.Log(Spread(radius, fit.ForwardWithSpot, fit.BackscatterWithSpot, fit.Ratio.Value)), 1e-9);
            double[] slope = [.. Enumerable.Range(0, 4).Select(i =>
            {
                double[] more = [.. at], less = [.. at];
                (more[i], less[i]) = (at[i] + 1e-4, at[i] - 1e-4);
                return (LogRadius(charge, more) - LogRadius(charge, less)) / 2e-4;
            })];
            double variance = Enumerable.Range(0, 16).Sum(i => slope[i / 4] * fit.LogCovariance[i] * slope[i % 4]);
            Assert.Equal(2.2622 * Math.Sqrt(variance), fit.LogBandHalfWidth(radius), 1e-3 * fit.LogBandHalfWidth(radius));
        }

        static double LogRadius(double charge, double[] p)
        {
            (double low, double high) = (-5, 15);
            for (int step = 0; step < 100; step++)
            {
                double middle = (low + high) / 2;
                (low, high) = Math.Log(charge) < p[3] - Math.Log(Spread(Math.Exp(middle), Math.Exp(p[0]), Math.Exp(p[1]), Math.Exp(p[2]))) ? (low, middle) : (middle, high);
            }

            return (low + high) / 2;
        }
    }

    private static double Spread(double r, double forward, double backscatter, double ratio) =>
        Math.Exp(-r * r / (forward * forward)) / (forward * forward)
        + ratio * Math.Exp(-r * r / (backscatter * backscatter)) / (backscatter * backscatter);
}
