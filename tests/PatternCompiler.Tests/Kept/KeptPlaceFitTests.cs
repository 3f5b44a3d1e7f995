using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Calibration.BlankerCurrent;
using PatternCompiler.Calibration.Field;
using PatternCompiler.Calibration.Mains;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.Settling;
using PatternCompiler.Calibration.StageFrame;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Pictures.Plots;
using static PatternCompiler.Tests.Kept.KeptFits;

namespace PatternCompiler.Tests.Kept;

/// <summary>Fits of places under the beam, and of what moves or switches it, are as in the version before.</summary>
public sealed class KeptPlaceFitTests
{
    private const int Tables = 8;
    private const double HalfField = 50_000;

    private static readonly KeptFit[] Fits =
    [
        new("alignment", [.. MarkTable.WordColumns], AlignmentTable, Alignment),
        new("stage", [.. StageReadings.WordColumns], StageTable, Frame),
        new("sample", [.. StageReadings.WordColumns], SampleTable, Sample),
        new("views", [.. FieldViews.WordColumns], ViewsTable, Views, MostTables: 3),
        new("cup", [.. CupReadings.WordColumns], CupTable, Cup, MostTables: 2),
        new("response", [.. SettlingReading.WordColumns], ResponseTable, Response),
        new("hum", [], HumTable, Hum),
    ];

    [Fact]
    public void Fits_of_places_say_and_draw_what_they_did_in_the_version_before() => KeptFits.Check("PlaceFits", Tables, Fits);

    private static string AlignmentTable(KeptDraw draw)
    {
        (double turn, double scale, double lean) = (draw.From(-30, 30) / 1000.0, 1 + draw.From(-9, 9) / 1000.0, draw.From(-9, 9) / 1000.0);
        bool hasErrors = draw.Rarely(2);
        return Rows($"mark, wanted x [um], wanted y [um], found x [um], found y [um]{(hasErrors ? ", uncertainty x [nm], uncertainty y [nm]" : "")}", draw, Enumerable.Range(0, draw.From(3, 8)).Select(i =>
        {
            (double x, double y) = (-45 + 30 * (i % 4), -40 + 55 * (i / 4) + 7 * (i % 2));
            double off = i == 5 ? 0.9 : 0;
            return $"m{i}, {N(x)}, {N(y)}, {N(scale * x - turn * y + 0.3 + draw.Noise() * 0.01)}, {N(scale * y + (turn + lean) * x - 0.2 + off + draw.Noise() * 0.01)}{(hasErrors ? $", {draw.From(8, 14)}, {draw.From(8, 14)}" : "")}";
        }));
    }

    private static (string, Plot) Alignment(MeasurementTable table, DiagnosticSink sink)
    {
        AlignmentFit fit = AlignmentFitter.Fit(MarkTable.Of(table, null), null, sink);
        return (AlignmentText.Of(fit), AlignmentPlot.Compose(fit));
    }

    private static string StageTable(KeptDraw draw)
    {
        Stage stage = StageOf(draw);
        bool hasErrors = draw.Rarely(2);
        return Rows($"mark, seen x [um], seen y [um], reading x [um], reading y [um], from x, from y{(hasErrors ? ", uncertainty [nm]" : "")}", draw, Enumerable.Range(0, draw.From(6, 11)).Select(i =>
        {
            (double x, double y) = (-40 + 26 * (i % 4), -38 + 31 * (i / 4) + 3 * (i % 2));
            (bool aboveX, bool aboveY) = (i % 5 == 1, i % 4 == 2);
            (double atX, double atY) = stage.ReadingAt(-1000 * x, -1000 * y);
            return $"c, {N(x)}, {N(y)}, {N(atX / 1000 - (aboveX ? 2.5 : 0) + draw.Noise() * 0.02)}, {N(atY / 1000 - (aboveY ? 1.5 : 0) + draw.Noise() * 0.02)}, {(aboveX ? "above" : "below")}, {(aboveY ? "above" : "")}{(hasErrors ? ", 20" : "")}";
        }));
    }

    private static Stage StageOf(KeptDraw draw) => new(1, 1)
    {
        Frame = LayerPlacement.Of(0, 0, draw.From(-40, 40), 1 + draw.From(-20, 20) / 1000.0, 1 + draw.From(-20, 20) / 1000.0, draw.From(-20, 20) / 1000.0),
        InvertX = draw.Rarely(2), InvertY = draw.Rarely(2), OriginNanometres = (1000 * draw.From(-900, 900), 1000 * draw.From(-900, 900)),
    };

    private static (string, Plot) Frame(MeasurementTable table, DiagnosticSink sink)
    {
        StageFit fit = StageFitter.Fit(StageReadings.Of(table), null, sink);
        return (StageText.Of(fit), AlignmentPlot.Compose(fit.Frame));
    }

    private static string SampleTable(KeptDraw draw)
    {
        LayerPlacement sample = LayerPlacement.Of(1000 * draw.From(-90, 90), 1000 * draw.From(-90, 90), draw.From(-180, 180), 1.001, 0.999, 0.002);
        bool hasFocus = draw.Rarely(2);
        return Rows($"mark, place x [um], place y [um], seen x [um], seen y [um], reading x [um], reading y [um], from x{(hasFocus ? ", focus [mm]" : "")}", draw, Enumerable.Range(0, draw.From(4, 7)).Select(i =>
        {
            (double x, double y) = (900 * (i % 3), 1300 * (i / 3) - 150 * (i % 2));
            (double atX, double atY) = sample.Land(1000 * x, 1000 * y);
            (double readX, double readY) = Tilted.ReadingAt(atX - 700, atY + 300);
            bool isAbove = i % 2 == 1;
            return $"m{i}, {N(x)}, {N(y)}, 0.7, -0.3, {N(readX / 1000 - (isAbove ? 3 : 0) + draw.Noise() * 0.02)}, {N(readY / 1000 + draw.Noise() * 0.02)}, {(isAbove ? "above" : "below")}{(hasFocus ? $", {N(10 + 0.000002 * x - 0.000001 * y + draw.Noise() * 0.0005)}" : "")}";
        }));
    }

    private static Stage Tilted { get; } = new(1, 1)
    {
        Frame = LayerPlacement.Of(0, 0, 12, 1.002, 0.997, 0.004), InvertY = true, OriginNanometres = (4000, -9000), BacklashNanometres = (3000, 1000), ApproachNanometres = (9000, -3000),
    };

    private static (string, Plot) Sample(MeasurementTable table, DiagnosticSink sink)
    {
        SampleFit fit = SampleFitter.Fit(StageReadings.Of(table), Tilted, null, sink);
        return (StageText.Of(fit), AlignmentPlot.Compose(fit.Placement));
    }

    private static string ViewsTable(KeptDraw draw)
    {
        (double bow, double twist) = (draw.From(-40, 40) / 1e5, draw.From(-40, 40) / 1e5);
        (string Name, double Turn, double X, double Y)[] poses = [("a", 0, 0.3, -0.2), ("b", Math.PI / 2 + 0.01, -1, 2), ("c", 0.004, 14, 1), ("d", -0.003, 1, draw.Rarely(4) ? 0 : 13)];
        return Rows("view, drawn x [um], drawn y [um], seen x [um], seen y [um]", draw, poses.SelectMany(pose => Enumerable.Range(0, 16).Select(i =>
        {
            (double x, double y) = (-24 + 16 * (i % 4), -24 + 16 * (i / 4));
            (double sine, double cosine) = Math.SinCos(pose.Turn);
            (double u, double v) = (cosine * x - sine * y + pose.X, sine * x + cosine * y + pose.Y);
            return $"{pose.Name}, {N(x)}, {N(y)}, {N(u + bow * u * v + twist * v * v + draw.Noise() * 0.004)}, {N(v - twist * u * u + bow * v * v + draw.Noise() * 0.004)}";
        })));
    }

    private static (string, Plot) Views(MeasurementTable table, DiagnosticSink sink)
    {
        FieldViews views = FieldViews.Of(table, HalfField);
        (IReadOnlyList<FieldFit> fits, FieldFit chosen) = SelfCalibration.FitAll(views, HalfField, null, sink);
        SelfCalibration.WarnOfError(chosen, sink);
        return (FitText.Of(fits, chosen), FieldResidualPlot.Compose(chosen, views));
    }

    private static string CupTable(KeptDraw draw)
    {
        (double on, double off, double rise, double fall, double leak) = (draw.From(10, 40) / 100.0, draw.From(10, 40) / 100.0, draw.From(2, 10) / 100.0, draw.From(2, 10) / 100.0, draw.From(0, 20) / 1000.0);
        bool isHeld = draw.Rarely(2);
        double[] times = [0.5, 0.9, 1.7, 4];
        return Rows("on [us], off [us], deflection, current [pA]", draw,
        [
            Row(1, 0, "held", 1, 1), Row(0, 1, "", 0, 1),
            .. times.SelectMany(time => (string[])
            [
                Row(time, time, "held", Beam(time, time).Mean, 1), Row(time, 20, "held", Beam(time, 20).Mean, 1), Row(20, time, "held", Beam(20, time).Mean, 1),
                .. isHeld ? [] : (string[])[Row(time, 20, "leaves", Beam(time, 20).MeanWhileOn, time / (time + 20)), Row(20, time, "enters", Beam(20, time).MeanWhileOff, time / (time + 20))],
            ]),
        ]);

        SwitchedBeam Beam(double u, double w) => new(u, w, on + rise, off + fall, rise, fall);

        string Row(double u, double w, string word, double open, double inCup) => $"{N(u)}, {N(w)}, {word}, {N(200 * (open + leak * (inCup - open)) + draw.Noise() * 0.02)}";
    }

    private static (string, Plot) Cup(MeasurementTable table, DiagnosticSink sink)
    {
        BlankerCurrentFit fit = BlankerCurrentFitter.Fit(CupReadings.Of(table), sink);
        return (BlankerCurrentText.Of(fit, null) + BlankerCurrentText.Of(fit, 0.25), BlankerCurrentPlot.Compose(fit));
    }

    private static string ResponseTable(KeptDraw draw)
    {
        (double fast, double slow, double part) = (draw.From(20, 50) / 10.0, draw.From(90, 300), draw.From(0, 12) / 1000.0);
        bool hasPlay = draw.Rarely(2);
        return Rows($"axis, jump [um], wait [us], visit [us], displacement [nm]{(hasPlay ? ", sides" : "")}", draw, new[] { "x", "y" }.SelectMany(axis => Enumerable.Range(0, 12).Select(i =>
        {
            (double jump, double wait) = (20 + 30 * (i % 3), new[] { 5, 15, 40, 150 }[i / 3]);
            double left = jump * 1000 * ((1 - part) * Math.Exp(-wait / fast) + part * Math.Exp(-wait / slow)) * (axis == "x" ? 1 : 0.7);
            return $"{axis}, {N(jump)}, {N(wait)}, 4, {N(left + (hasPlay ? 30 : 0) + draw.Noise())}{(hasPlay ? ", 2" : "")}";
        })));
    }

    private static (string, Plot) Response(MeasurementTable table, DiagnosticSink sink)
    {
        IReadOnlyList<SettlingReading> readings = SettlingReading.Of(table);
        IReadOnlyList<ResponseFit> fits = ResponseFitter.FitAxes(readings, sink);
        return (ResponseText.Of(fits, readings.Select(reading => reading.Jump), 10), ResponsePlot.Compose(fits, readings));
    }

    private static string HumTable(KeptDraw draw)
    {
        (double amplitude, double phase, double third) = (draw.From(20, 90), draw.From(0, 6), draw.From(0, 9));
        bool hasBoth = draw.Rarely(2);
        return Rows($"time [ms], x [nm]{(hasBoth ? ", y [nm]" : "")}", draw, Enumerable.Range(0, draw.From(60, 90)).Select(i =>
        {
            double t = 1.3 * i, angle = 2 * Math.PI * 0.05 * t;
            double hum = amplitude * Math.Sin(angle + phase) + third * Math.Sin(3 * angle);
            return $"{N(t)}, {N(hum + 0.1 * t + draw.Noise() * 3)}{(hasBoth ? $", {N(-0.6 * hum + draw.Noise() * 3)}" : "")}";
        }));
    }

    private static (string, Plot) Hum(MeasurementTable table, DiagnosticSink sink)
    {
        HumRows rows = HumRows.Of(table, null);
        HumFit fit = HumFitter.Fit(rows, 50, 3, fitsFrequency: rows.Count % 2 == 0, sink);
        return (HumText.Of(fit), HumPlot.Compose(fit, rows));
    }
}
