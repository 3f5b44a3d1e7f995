using MathNet.Numerics.LinearAlgebra;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Calibration;

public class ContrastFitterTests
{
    private static readonly double[] Doses = [40, 60, 80, 90, 100, 110, 120, 140, 170, 200];

    // Onset 80 and clearing 120 µC/cm² give γ = 1/log10(1.5) = 5.67887 by definition.
    [Fact]
    public void A_noiseless_positive_curve_gives_back_its_parameters()
    {
        double[] thickness = [.. Doses.Select(d => 300 * Math.Clamp(1 - Math.Log10(d / 80) / Math.Log10(1.5), 0, 1))];
        ContrastFit fit = ContrastFitter.Fit(Doses, thickness, 300, ResistTone.Positive, new DiagnosticSink());
        Assert.Equal(80, fit.Onset.Value, 9);
        Assert.Equal(120, fit.Clearing.Value, 9);
        Assert.Equal(5.67887, fit.Contrast.Value, 5);
        Assert.Equal(0, fit.RootMeanSquareResidual, 12);
        Assert.All(Doses.Zip(thickness), p => Assert.Equal(p.Second, 300 * fit.RemainingFraction(p.First), 9));
    }

    [Fact]
    public void A_noiseless_negative_curve_gives_back_its_parameters()
    {
        double[] thickness = [.. Doses.Select(d => 100 * Math.Clamp(Math.Log10(d / 70) / Math.Log10(2), 0, 1))];
        ContrastFit fit = ContrastFitter.Fit(Doses, thickness, 100, ResistTone.Negative, new DiagnosticSink());
        Assert.Equal(70, fit.Onset.Value, 9);
        Assert.Equal(140, fit.Clearing.Value, 9);
        Assert.Equal(3.32193, fit.Contrast.Value, 5);
    }

    [Fact]
    public void The_order_of_measurements_does_not_matter()
    {
        double[] thickness = [.. Doses.Select((d, i) => 300 * Math.Clamp(1 - Math.Log10(d / 80) / Math.Log10(1.5), 0, 1) + i % 3)];
        ContrastFit forward = ContrastFitter.Fit(Doses, thickness, 302, ResistTone.Positive, new DiagnosticSink());
        ContrastFit backward = ContrastFitter.Fit(
            [.. Doses.Reverse()], [.. thickness.Reverse()], 302, ResistTone.Positive, new DiagnosticSink());
        Assert.Equal((forward.Onset, forward.Clearing, forward.Contrast), (backward.Onset, backward.Clearing, backward.Contrast));
    }

    [Fact]
    public void A_thickness_that_is_stated_has_no_error()
    {
        var truth = new ResistResponse(ResistTone.Positive, 0.8, 1.2);
        ContrastFit fit = ContrastFitter.Fit(Doses, [.. Doses.Select((d, i) => 300 * truth.RemainingFraction(d / 100) + i % 3)], 302, ResistTone.Positive, new DiagnosticSink());
        Assert.Equal(new FitParameter("thickness", "nm", 302, 0, 302, 302), fit.Thickness);
        Assert.Equal((true, Doses.Length - 2), (fit.IsThicknessGiven, fit.DegreesOfFreedom));
    }

    // Nothing says how thick the film was but the readings.
    [Theory]
    [InlineData(ResistTone.Positive)]
    [InlineData(ResistTone.Negative)]
    public void A_thickness_that_is_not_stated_is_fitted(ResistTone tone)
    {
        var truth = new ResistResponse(tone, 0.8, 1.2);
        ContrastFit fit = ContrastFitter.Fit(Doses, [.. Doses.Select(d => 173 * truth.RemainingFraction(d / 100))], null, tone, new DiagnosticSink());
        Assert.Equal((80, 120, 173), (Math.Round(fit.Onset.Value, 7), Math.Round(fit.Clearing.Value, 7), Math.Round(fit.Thickness.Value, 7)));
        Assert.Equal(truth with { ThicknessNanometres = 173 }, fit.Response with
        {
            OnsetCoulombsPerSquareMetre = Math.Round(fit.Response.OnsetCoulombsPerSquareMetre, 9),
            ClearingCoulombsPerSquareMetre = Math.Round(fit.Response.ClearingCoulombsPerSquareMetre, 9),
            ThicknessNanometres = Math.Round(fit.Response.ThicknessNanometres!.Value, 7),
        });
    }

    [Theory]
    [InlineData(ResistTone.Positive, "error PC4072: the thickness rises with dose, as that of a negative resist: the best curve of one misses the measurements by 0 % of the thickness, that of the stated tone by ")]
    [InlineData(ResistTone.Negative, "error PC4072: the thickness falls with dose, as that of a positive resist: the best curve of one misses the measurements by 0 % of the thickness, that of the stated tone by ")]
    public void The_wrong_tone_is_refused_with_the_right_one(ResistTone stated, string expected)
    {
        var truth = new ResistResponse(stated == ResistTone.Positive ? ResistTone.Negative : ResistTone.Positive, 0.8, 1.2);
        double[] thickness = [.. Doses.Select(d => 300 * truth.RemainingFraction(d / 100))];
        foreach (double? initial in (double?[])[null, 300])
        {
            string message = Assert.Throws<CompileException>(() => ContrastFitter.Fit(Doses, thickness, initial, stated, new DiagnosticSink())).Message;
            Assert.StartsWith(expected, message, StringComparison.Ordinal);
            Assert.Matches("that of the stated tone by [2-6][0-9] % \\(", message);
            Assert.EndsWith($"state --tone {(stated == ResistTone.Positive ? "negative" : "positive")}, or look for a wrong column", message, StringComparison.Ordinal);
        }
    }

    // Readings that repeat, with one that is far off: work grows with the distinct doses alone.
    [Fact]
    public void Many_repeated_readings_are_fitted_in_little_time()
    {
        double[] doses = [.. Enumerable.Range(0, 40_000).Select(i => Doses[i % Doses.Length]), 1e6];
        double[] thickness = [.. doses.Select((d, i) => 300 * Math.Clamp(1 - Math.Log10(d / 80) / Math.Log10(1.5), 0, 1) + (i % 7)), ];
        thickness[^1] = 1e9;
        long start = Environment.TickCount64;
        Exception? fault = Record.Exception(() => ContrastFitter.Fit(doses, thickness, null, ResistTone.Positive, new DiagnosticSink()));
        Assert.IsType<CompileException>(fault);
        thickness[^1] = 0;
        Assert.Equal(80, ContrastFitter.Fit(doses, thickness, null, ResistTone.Positive, new DiagnosticSink()).Onset.Value, 1.0);
        Assert.InRange(Environment.TickCount64 - start, 0, 5000);
    }

    [Theory]
    [InlineData(300, 290, 280, "error PC4003: no dose changes even half of the resist (largest dose 80 uC/cm2); add larger doses, until the resist is gone")]
    [InlineData(60, 20, 0, "error PC4003: even the smallest dose (40 uC/cm2) changes more than half of the resist; add smaller doses")]
    public void Data_that_miss_the_slope_are_refused(double first, double second, double third, string expected)
    {
        var error = Assert.Throws<CompileException>(() => ContrastFitter.Fit(
            [40, 60, 80], [first, second, third], 300, ResistTone.Positive, new DiagnosticSink()));
        Assert.Equal(expected, error.Message);
    }

    /// <summary>
    /// Intervals by the definition, searched for by hand: a value belongs to them as long as the best curve with it leaves no more than
    /// (1 + t²/ν) of the least sum of squares; Student's t is 2.306 for 8 spare readings and 2.365 for 7 (any handbook's table).
    /// </summary>
    [Theory]
    [InlineData(ResistTone.Positive, true)]
    [InlineData(ResistTone.Negative, true)]
    [InlineData(ResistTone.Positive, false)]
    public void Intervals_are_those_of_the_profile(ResistTone tone, bool isStated)
    {
        var truth = new ResistResponse(tone, 0.8, 1.2);
        double[] thickness = [.. Doses.Select((d, i) => 300 * truth.RemainingFraction(d / 100) + 4 * (i * 5 % 3))];
        ContrastFit fit = ContrastFitter.Fit(Doses, thickness, isStated ? 304 : null, tone, new DiagnosticSink());
        double sign = tone == ResistTone.Positive ? 1 : -1;
        double[] x = [.. Doses.Select(d => sign * Math.Log10(d / 100))];
        double height = isStated ? 304 : fit.Thickness.Value;
        double top = sign * Math.Log10((tone == ResistTone.Positive ? fit.Onset : fit.Clearing).Value / 100), end = sign * Math.Log10((tone == ResistTone.Positive ? fit.Clearing : fit.Onset).Value / 100);
        double least = Squares(top, end, height);
        double allowed = least * (1 + (isStated ? Math.Pow(2.3060, 2) / 8 : Math.Pow(2.3646, 2) / 7));
        Assert.Equal(fit.RootMeanSquareResidual, Math.Sqrt(least / Doses.Length) / (isStated ? 304 : thickness.Max()), 1e-6);
        if (isStated)
        {
            AssertEnds(top, place => Least(other => Squares(place, other, height), end), tone == ResistTone.Positive ? fit.Onset : fit.Clearing, place => 100 * Math.Pow(10, sign * place));
            AssertEnds(end, place => Least(other => Squares(other, place, height), top), tone == ResistTone.Positive ? fit.Clearing : fit.Onset, place => 100 * Math.Pow(10, sign * place));
            AssertEnds(end - top, width => Least(other => Squares(other, other + width, height), top), fit.Contrast, width => 1 / width);
        }
        else
        {
            AssertEnds(height, h => Least(t => Least(e => Squares(t, e, h), end, 12), top, 12), fit.Thickness, h => h);
        }

        double Squares(double t, double e, double h) => e > t ? x.Select((place, i) => Math.Pow(thickness[i] - (h * Math.Clamp((e - place) / (e - t), 0, 1)), 2)).Sum() : double.PositiveInfinity;

        // Of a grid about the best place, the lowest valley, by thirds.
        double Least(Func<double, double> f, double about, int steps = 200)
        {
            double[] places = [.. Enumerable.Range(-steps, (2 * steps) + 1).Select(i => about + (0.2 * i / steps))];
            double lowest = places.MinBy(f);
            (double low, double high) = (lowest - (0.2 / steps), lowest + (0.2 / steps));
            for (int i = 0; i < 22; i++)
            {
                (double left, double right) = (low + ((high - low) / 3), high - ((high - low) / 3));
                (low, high) = f(left) < f(right) ? (low, right) : (left, high);
            }

            return Math.Min(f((low + high) / 2), f(lowest));
        }

        void AssertEnds(double best, Func<double, double> leastWith, FitParameter told, Func<double, double> shown)
        {
            double[] ends = [.. new[] { -1, 1 }.Select(side =>
            {
                (double inside, double outside) = (0, isStated ? 0.1 : 30);
                for (int i = 0; i < 14; i++)
                {
                    double middle = (inside + outside) / 2;
                    (inside, outside) = leastWith(best + (side * middle)) <= allowed ? (middle, outside) : (inside, middle);
                }

                return shown(best + (side * inside));
            }).Order()];
            Assert.Equal(shown(best), told.Value, 1e-6 * told.Value);
            Assert.Equal(1, ends[0] / told.Low, 1e-3);
            Assert.Equal(1, ends[1] / told.High, 1e-3);
        }
    }

    /// <summary>
    /// The band by the rule for errors that are carried on: with J the slopes of the curve at the readings by their differences, s² their
    /// scatter and g the slopes at a dose, half of it is t·√(s²·gᵀ(JᵀJ)⁻¹g); t as above.
    /// </summary>
    [Theory]
    [InlineData(ResistTone.Positive, true)]
    [InlineData(ResistTone.Negative, true)]
    [InlineData(ResistTone.Positive, false)]
    [InlineData(ResistTone.Negative, false)]
    public void The_band_is_what_the_readings_errors_carry_on(ResistTone tone, bool isStated)
    {
        var truth = new ResistResponse(tone, 0.8, 1.2);
        double[] thickness = [.. Doses.Select((d, i) => 300 * truth.RemainingFraction(d / 100) + 4 * (i * 5 % 3))];
        ContrastFit fit = ContrastFitter.Fit(Doses, thickness, isStated ? 304 : null, tone, new DiagnosticSink());
        double sign = tone == ResistTone.Positive ? 1 : -1;
        double Place(double dose) => sign * Math.Log10(dose / 70);
        double[] ends = [.. new[] { Place(fit.Onset.Value), Place(fit.Clearing.Value) }.Order()];
        double[] best = isStated ? ends : [.. ends, fit.Thickness.Value];
        double Curve(double[] p, double x) => (isStated ? 304 : p[2]) * Math.Clamp((p[1] - x) / (p[1] - p[0]), 0, 1);
        Vector<double> Slopes(double x) => Vector<double>.Build.Dense(best.Length, i =>
        {
            double step = i == 2 ? 1e-3 : 1e-7;
            double[] more = [.. best], less = [.. best];
            (more[i], less[i]) = (best[i] + step, best[i] - step);
            return (Curve(more, x) - Curve(less, x)) / (2 * step);
        });
        Matrix<double> jacobian = Matrix<double>.Build.DenseOfRowVectors(Doses.Select(d => Slopes(Place(d))));
        Matrix<double> inverse = jacobian.TransposeThisAndMultiply(jacobian).Inverse();
        int spare = Doses.Length - best.Length;
        double scatter = Doses.Zip(thickness, (d, measured) => Math.Pow(measured - Curve(best, Place(d)), 2)).Sum() / spare;
        foreach (double dose in (double[])[84, 95, 109, 117])
        {
            Vector<double> slopes = Slopes(Place(dose));
            double half = (isStated ? 2.3060 : 2.3646) * Math.Sqrt(scatter * (slopes * inverse * slopes));
            Assert.Equal(half / fit.Thickness.Value, fit.BandHalfWidth(dose), 2e-4 * half / fit.Thickness.Value);
        }

        Assert.Equal(fit.BandHalfWidth(fit.Onset.Value), fit.BandHalfWidth(20), 1e-12);
        Assert.Equal(fit.BandHalfWidth(fit.Clearing.Value), fit.BandHalfWidth(900), 1e-12);
    }

    /// <summary>Just half of the film changed, or just half of it left, is a reading of the slope.</summary>
    [Theory]
    [InlineData(300, 250, 200, 150)]
    [InlineData(150, 100, 50, 0)]
    public void Half_of_the_film_is_enough(double first, double second, double third, double fourth)
    {
        double[] doses = [40, 50, 62.5, 78.125];
        foreach (ResistTone tone in Enum.GetValues<ResistTone>())
        {
            double[] thickness = [first, second, third, fourth];
            ContrastFit fit = ContrastFitter.Fit(doses, [.. thickness.Select(t => tone == ResistTone.Positive ? t : 300 - t)], 300, tone, new DiagnosticSink());
            Assert.Equal(Math.Pow(1.25, 6), fit.Clearing.Value / fit.Onset.Value, 1e-6);
        }
    }

    /// <summary>Three doses are enough to tell that they are of no one curve.</summary>
    [Fact]
    public void Three_readings_that_go_up_and_down_are_refused() => Assert.StartsWith(
        "error PC4007: the best curve misses the measurements by ",
        Assert.Throws<CompileException>(() => ContrastFitter.Fit([60, 80, 100], [20, 290, 0], 300, ResistTone.Positive, new DiagnosticSink())).Message,
        StringComparison.Ordinal);

    [Fact]
    public void Tables_that_cannot_be_one_curve_are_refused()
    {
        Assert.Equal(
            "error PC4005: no measured thickness is above zero; measure resist that is left, or state its thickness with --initial-thickness",
            Message([50, 60, 70], [0, 0, 0], null));
        Assert.Equal(
            "error PC4001: 100001 measurements are too many to look for a slope in; at most 100000 are fitted; fit a part of them",
            Message(new double[100_001], new double[100_001], 300));
        Assert.StartsWith("error PC4003: ", Message([.. Enumerable.Repeat(50.0, 100_000)], [.. Enumerable.Repeat(300.0, 100_000)], 300), StringComparison.Ordinal);

        static string Message(double[] doses, double[] thicknesses, double? stated) =>
            Assert.Throws<CompileException>(() => ContrastFitter.Fit(doses, thicknesses, stated, ResistTone.Positive, new DiagnosticSink())).Message;
    }

    [Fact]
    public void As_many_parameters_as_readings_give_a_value_but_no_error_and_say_so()
    {
        var sink = new DiagnosticSink();
        ContrastFit fit = ContrastFitter.Fit([50, 90, 110], [300, 200, 100], null, ResistTone.Positive, sink);
        Assert.True(double.IsNaN(fit.Contrast.StandardError));
        Assert.Equal("PC4006", Assert.Single(sink.Collected).Code.Id);
    }

    [Fact]
    public void Thicknesses_of_no_curve_are_refused_with_how_far_they_are_off() => Assert.Matches(
        "^error PC4007: the best curve misses the measurements by [3-9][0-9] % of the thickness \\(root mean square\\), more than 25 %: these are no thicknesses of one resist against dose ",
        Assert.Throws<CompileException>(() => ContrastFitter.Fit([40, 50, 60, 70, 80, 90, 100, 110], [300, 10, 290, 0, 300, 5, 280, 0], 300, ResistTone.Positive, new DiagnosticSink())).Message);

    /// <summary>Readings that the other tone misses by a seventh of the thickness, and this one by three times as much, are no question of tone.</summary>
    [Theory]
    [InlineData(0.05, "PC4072")]
    [InlineData(0.18, "PC4007")]
    public void Scattered_readings_are_no_question_of_tone(double scatter, string code)
    {
        double[] doses = [.. Enumerable.Range(0, 40).Select(i => 20 * Math.Pow(20, i / 39.0))];
        double[] thickness = [.. doses.Select((d, i) => 300 * (Math.Clamp(Math.Log(d / 60) / Math.Log(2), 0, 1) + (i % 2 == 0 ? scatter : -scatter)))];
        Assert.Equal(code, Assert.Throws<CompileException>(() => ContrastFitter.Fit(doses, thickness, 300, ResistTone.Positive, new DiagnosticSink())).Diagnostic.Code.Id);
    }

    /// <summary>The percentages are those of what the best curves of either tone leave.</summary>
    [Fact]
    public void Messages_tell_how_far_the_best_curves_are_off()
    {
        double[] doses = [.. Enumerable.Range(0, 24).Select(i => 20 * Math.Pow(20, i / 23.0))];
        double centre = doses.Average(Math.Log10);
        for (double scatter = 0.02; scatter < 0.4; scatter += 0.019)
        {
            double[] y = [.. doses.Select((d, i) => Math.Clamp(Math.Log(d / 60) / Math.Log(2), 0, 1) + (i % 2 == 0 ? scatter : -scatter))];
            double Miss(int sign) => 100 * Math.Sqrt(new ClampedSlope([.. doses.Select(d => sign * (Math.Log10(d) - centre))], y, 1).Best().Squares / 24);
            string message = Assert.Throws<CompileException>(() => ContrastFitter.Fit(doses, [.. y.Select(part => 300 * part)], 300, ResistTone.Positive, new DiagnosticSink())).Message;
            Assert.Contains(
                message.Contains("PC4072", StringComparison.Ordinal)
                    ? FormattableString.Invariant($"the best curve of one misses the measurements by {Miss(-1):0.#} % of the thickness, that of the stated tone by {Miss(1):0} % (")
                    : FormattableString.Invariant($"the best curve misses the measurements by {Miss(1):0} % of the thickness (root mean square), more than 25 %"),
                message,
                StringComparison.Ordinal);
        }
    }

    [Fact]
    public void One_dose_on_the_slope_is_not_enough() => Assert.StartsWith(
        "error PC4003: only one dose lies on the slope between the two plateaus, and it takes two to tell where it begins and ends",
        Assert.Throws<CompileException>(() => ContrastFitter.Fit([50, 60, 90, 200, 300], [300, 300, 150, 0, 0], 300, ResistTone.Positive, new DiagnosticSink())).Message,
        StringComparison.Ordinal);
}
