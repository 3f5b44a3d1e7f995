using PatternCompiler.Calibration;
using PatternCompiler.Calibration.BlankerDelay;
using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Calibration.Converters;
using PatternCompiler.Calibration.DoseToSize;
using PatternCompiler.Calibration.Field;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.Settling;
using PatternCompiler.Calibration.Spread;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Pictures.Plots;
using PatternCompiler.Units;
using static PatternCompiler.Tests.Kept.KeptFits;

namespace PatternCompiler.Tests.Kept;

/// <summary>Every fit of noisy tables, scarce, wrong and repeated rows among them: what it says, warns of and draws is as in the version before.</summary>
public sealed class KeptFitTests
{
    private const int Tables = 14;

    private static readonly Unit Dose = new("uC/cm2", Dimension.AreaDose, -2);
    private static readonly Unit Charge = new("fC", Dimension.Charge, -15);
    private static readonly Unit Time = new("us", Dimension.Time, -6);
    private static readonly Unit Speed = new("nm/us", Dimension.Speed, -3);

    private static readonly KeptFit[] Fits =
    [
        new("contrast", [], ContrastTable, Contrast),
        new("spread", [], SpreadTable, Spread),
        new("blanker", [], BlankerTable, BlankerDelay),
        new("settling", [], SettlingTable, Settling),
        new("field", [], FieldTable, Field),
        new("dose", [.. DoseReadings.WordColumns], DoseTable, DoseToSize),
        new("converter", [.. ConverterReadings.WordColumns], ConverterTable, Converter),
    ];

    [Fact]
    public void Fits_say_and_draw_what_they_did_in_the_version_before()
    {
        KeptFits.Check("Fits", Tables, Fits);
    }

    private static string ContrastTable(KeptDraw draw)
    {
        (double onset, double steepness, double film) = (draw.From(60, 120), draw.From(2, 9) / 4.0, draw.From(100, 500));
        return Rows("dose [uC/cm2], thickness [nm]", draw, Enumerable.Range(0, draw.From(6, 14)).Select(i =>
        {
            double dose = 30 + 22 * i;
            return $"{N(dose)}, {N(Math.Clamp(film * (1 - Math.Max(0, dose - onset) / (onset * steepness)), 0, film) + draw.Noise() * film * 0.01)}";
        }));
    }

    private static (string, Plot) Contrast(MeasurementTable table, DiagnosticSink sink)
    {
        double[] doses = table.PositiveColumn("dose", Dose), thicknesses = table.Column("thickness", Unit.Nanometre);
        ContrastFit fit = ContrastFitter.Fit(doses, thicknesses, null, ResistTone.Positive, sink);
        return (FitText.Of(fit), ContrastPlot.Compose(fit, doses, thicknesses));
    }

    private static string SpreadTable(KeptDraw draw)
    {
        (double forward, double back) = (draw.From(30, 90), draw.From(2000, 5000));
        return Rows("charge [fC], radius [nm]", draw, Enumerable.Range(0, draw.From(8, 14)).Select(i =>
        {
            double charge = 10 * Math.Pow(2, i);
            double radius = Math.Sqrt(Math.Max(0.05, i / 3.0)) * forward + Math.Max(0, i - 5) * back / 4;
            return $"{N(charge)}, {N(radius * (1 + draw.Noise() * 0.02))}";
        }));
    }

    private static (string, Plot) Spread(MeasurementTable table, DiagnosticSink sink)
    {
        double[] charges = table.PositiveColumn("charge", Charge), radii = table.PositiveColumn("radius", Unit.Nanometre);
        SpreadFit fit = SpreadFitter.Fit(charges, radii, 0, sink);
        return (FitText.Of(fit), SpreadPlot.Compose(fit, charges, radii));
    }

    private static string BlankerTable(KeptDraw draw)
    {
        (double off, double on) = (draw.From(1, 30) / 100.0, draw.From(1, 30) / 100.0);
        return Rows("speed [nm/us], tail [nm], missing [nm]", draw, Enumerable.Range(1, draw.From(4, 9)).Select(i =>
            $"{i * 100}, {N(i * 100 * off + draw.Noise())}, {N(i * 100 * on + draw.Noise())}"));
    }

    private static (string, Plot) BlankerDelay(MeasurementTable table, DiagnosticSink sink)
    {
        double[] speeds = table.PositiveColumn("speed", Speed), tails = table.Column("tail", Unit.Nanometre), heads = table.Column("missing", Unit.Nanometre);
        BlankerDelayFit fit = BlankerDelayFitter.Fit(speeds, tails, heads, sink);
        return (FitText.Of(fit), BlankerDelayPlot.Compose(fit, speeds, tails, heads));
    }

    private static string SettlingTable(KeptDraw draw)
    {
        double tau = draw.From(20, 90) / 10.0;
        return Rows("jump [um], wait [us], displacement [nm]", draw, Enumerable.Range(0, draw.From(8, 20)).Select(i =>
        {
            (int jump, int wait) = (10 + 20 * (i % 5), 5 * (i / 2));
            return $"{jump}, {wait}, {N(jump * 1000 * Math.Exp(-wait / tau) + draw.Noise() * 2)}";
        }));
    }

    private static (string, Plot) Settling(MeasurementTable table, DiagnosticSink sink)
    {
        double[] jumps = table.PositiveColumn("jump", Unit.Nanometre), waits = table.Column("wait", Time), displacements = table.Column("displacement", Unit.Nanometre);
        SettlingFit fit = SettlingFitter.Fit(jumps, waits, displacements, sink);
        return (FitText.Of(fit, jumps, 10), SettlingPlot.Compose(fit, jumps, waits, displacements));
    }

    private static string FieldTable(KeptDraw draw)
    {
        (double scale, double turn, double bow) = (1 + draw.From(-20, 20) / 1000.0, draw.From(-20, 20) / 1000.0, draw.From(-40, 40) / 1e6);
        int side = draw.From(3, 6);
        return Rows("commanded x [um], commanded y [um], measured x [um], measured y [um]", draw, Enumerable.Range(0, side * side).Select(i =>
        {
            (double x, double y) = (-40 + 80.0 / (side - 1) * (i % side), -40 + 80.0 / (side - 1) * (i / side));
            return $"{N(x)}, {N(y)}, {N(scale * x - turn * y + bow * x * y + draw.Noise() * 0.01)}, {N(scale * y + turn * x + bow * x * x + draw.Noise() * 0.01)}";
        }));
    }

    private static (string, Plot) Field(MeasurementTable table, DiagnosticSink sink)
    {
        double[][] columns = [.. new[] { "commanded x", "commanded y", "measured x", "measured y" }.Select(name => table.Column(name, Unit.Nanometre))];
        FieldMark[] marks = [.. Enumerable.Range(0, table.Count).Select(i => new FieldMark(columns[0][i], columns[1][i], columns[2][i], columns[3][i]))];
        (IReadOnlyList<FieldFit> fits, FieldFit chosen) = FieldFitter.FitAll(marks, 50_000, sink);
        return (FitText.Of(fits, chosen), FieldResidualPlot.Compose(chosen, marks));
    }

    private static string DoseTable(KeptDraw draw)
    {
        double threshold = draw.From(80, 120) / 100.0;
        return Rows("feature, drawn [nm], length [um], bars, pitch [nm], beside [um], factor, measured [nm], thickness [nm], cleared", draw,
        [
            .. Enumerable.Range(0, 4).Select(i => $"square,10000,,,,,{N(0.4 + 0.15 * i)},,{N(Math.Max(0, 220 - 60 * i / threshold + draw.Noise()))},"),
            $"square,4000,,,,,{N(0.8)},,,yes",
            .. Enumerable.Range(0, 5).Select(i => $"bar,300,10,,,,{N(1 + 0.2 * i)},{N(170 + 28 * i / threshold + draw.Noise() * 3)},,"),
            .. Enumerable.Range(0, 5).Select(i => $"bar,300,10,5,600,,{N(1 + 0.2 * i)},{N(200 + 29 * i / threshold + draw.Noise() * 3)},,"),
            .. Enumerable.Range(0, 4).Select(i => $"gap,300,10,,,4.85,{N(1 + 0.2 * i)},{N(290 - 30 * i / threshold + draw.Noise() * 3)},,"),
        ]);
    }

    private static (string, Plot) DoseToSize(MeasurementTable table, DiagnosticSink sink)
    {
        double[] doses = [.. table.PositiveColumn("factor", Unit.One).Select(factor => 250 * factor)];
        IReadOnlyList<DoseReading> readings = DoseReadings.Of(table, doses, ResistTone.Positive);
        SpreadFunction spread = SpreadFunction.TwoGaussian(60, 4000, 0.74);
        DoseFit fit = DoseFitter.Fit(readings, spread, DoseFitter.UsualSpreadError, ResistTone.Positive, sink);
        return (FitText.Of(fit), DosePlot.Compose(fit, readings, spread));
    }

    private static string ConverterTable(KeptDraw draw)
    {
        (double gain, double offset, double cross) = (1 + draw.From(-30, 30) / 3000.0, draw.From(-40, 40) / 1000.0, draw.From(-9, 9) / 10_000.0);
        return Rows("axis, code, other, volts [V], uncertainty [V]", draw, new[] { "x", "y" }.SelectMany(axis =>
            new[] { 0, 8192, 16383, 16384, 24576, 32767, 32768, 40960, 49151, 49152, 57344, 65535 }.SelectMany(code => new[] { 0, 65535 }.Select(other =>
                $"{axis}, {code}, {other}, {N(-10 + 20.0 * code / 65536 * gain + offset + cross * (other - 32768) / 3277 + (code >= 32768 ? 0.0004 : 0) + draw.Noise() * 0.0001)}, 0.0001"))));
    }

    private static (string, Plot) Converter(MeasurementTable table, DiagnosticSink sink)
    {
        Dac dac = DefaultFiles.Machine.Dac;
        ConverterFit fit = ConverterFitter.Fit(ConverterReadings.Of(table, dac, null), dac, isFromPlaces: false, table.PlaceOf, sink);
        return (ConverterText.Of(fit, dac), ConverterPlot.Compose(fit));
    }
}
