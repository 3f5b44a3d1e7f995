using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.Settling;
using PatternCompiler.Calibration.Spread;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Calibration;

/// <summary>Measurements that no model describes: the error says why and which measurement stands most against it.</summary>
public class HopelessFitTests
{
    private static readonly DiagnosticSink Sink = new();

    [Fact]
    public void Too_many_dots_are_refused_before_any_work() => Assert.Equal(
        "error PC4001: 2001 dots are too many to fit; at most 2000 are fitted; fit a part of them",
        Assert.Throws<CompileException>(() => SpreadFitter.Fit(new double[2001], new double[2001], 0, Sink)).Message);

    [Fact]
    public void Thicknesses_that_do_not_depend_on_dose() => Assert.Matches(
        @"^t.csv:\d+: error PC4007: the best curve misses the measurements by (2[6-9]|3[0-9]) % of the thickness \(root mean square\), more than 25 %: these are no thicknesses of one resist against dose \(measurement \d+, .*, stands most against a thickness that falls with the dose\); look for a misread line, a wrong column or the wrong --tone",
        Refusal(
            "dose [uC/cm2], thickness [nm]\n63.73, 0\n8.67, 44.3\n7.965, 0\n820.6, 0\n8.512, 26.7\n5.201, 22.49\n88.84, 11.64\n703.8, 0\n20.67, 0\n1.737, 0\n451.5, 0\n229.6, 0\n",
            Contrast));

    [Fact]
    public void Dots_whose_radius_does_not_grow_with_the_charge() => Assert.StartsWith(
        "t.csv:9: error PC4007: no two-Gaussian spread describes these dots",
        Refusal(
            "charge [fC], radius [nm]\n128.1, 8.205\n26.59, 270.4\n3052, 2757\n19.64, 50.26\n70.23, 19.42\n231.9, 2414\n1.459e+04, 1727\n2486, 4.265\n0.02853, 329.7\n4513, 922.6\n18.24, 169.3\n",
            table => SpreadFitter.Fit(table.PositiveColumn("charge", new Unit("fC", Dimension.Charge, -15)), table.PositiveColumn("radius", Unit.Nanometre), 0, Sink)),
        StringComparison.Ordinal);

    [Theory]
    [InlineData("90, 10, 0\n50, 40, 59.55\n90, 40, 0\n90, 10, 90.58\n90, 10, 0\n90, 0, 0\n50, 10, 123.7\n")]
    [InlineData("1, 0, 1e30\n1, 1, 1e-30\n1, 2, 1e30\n")]
    [InlineData("1e30, 0, 1\n1e-30, 1e30, 1\n1, -1e30, 2\n")]
    [InlineData("1, -1e30, 1\n1, 1e30, 0.5\n1, 0, 0.7\n")]
    public void Displacements_that_no_settling_describes_end_in_a_fit_or_an_error_about_them(string rows)
    {
        string table = "jump [um], wait [us], displacement [nm]\n" + rows;
        Exception? fault = Record.Exception(() => Fit(table, read => FitText.Of(
            SettlingFitter.Fit(
                read.PositiveColumn("jump", Unit.Nanometre), read.Column("wait", new Unit("us", Dimension.Time, -6)), read.Column("displacement", Unit.Nanometre), Sink),
            [1000],
            10)));
        if (fault is not null)
        {
            Assert.Matches("^t.csv(:[0-9]+)?: error PC400[347]: ", Assert.IsType<CompileException>(fault).Message);
        }
    }

    [Fact]
    public void Thicknesses_that_are_all_zero() => Assert.Equal(
        "t.csv: error PC4005: no measured thickness is above zero; measure resist that is left, or state its thickness with --initial-thickness",
        Refusal("dose [uC/cm2], thickness [nm]\n10, 0\n20, 0\n", Contrast));

    [Fact]
    public void Doses_that_differ_in_the_last_digit_are_one() => Assert.StartsWith(
        "t.csv: error PC4003: no dose lies on the slope between the two plateaus, and it takes two to tell where it begins and ends; add doses",
        Refusal("dose [uC/cm2], thickness [nm]\n10, 300\n10.0000001, 0\n", Contrast),
        StringComparison.Ordinal);

    private static void Contrast(MeasurementTable table)
    {
        double[] thicknesses = table.Column("thickness", Unit.Nanometre);
        ContrastFitter.Fit(table.PositiveColumn("dose", new Unit("uC/cm2", Dimension.AreaDose, -2)), thicknesses, null, ResistTone.Positive, Sink);
    }

    private static string Refusal(string text, Action<MeasurementTable> fit) => Assert.Throws<CompileException>(() => Fit(text, fit)).Message;

    private static void Fit(string text, Action<MeasurementTable> fit)
    {
        var table = MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "t.csv");
        try
        {
            fit(table);
        }
        catch (CompileException fault)
        {
            throw table.Locate(fault);
        }
    }
}
