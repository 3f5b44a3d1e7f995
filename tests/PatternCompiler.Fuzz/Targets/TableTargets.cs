using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Calibration.BlankerCurrent;
using PatternCompiler.Calibration.BlankerDelay;
using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Calibration.Converters;
using PatternCompiler.Calibration.DoseToSize;
using PatternCompiler.Calibration.Field;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.Mains;
using PatternCompiler.Calibration.Settling;
using PatternCompiler.Calibration.Spread;
using PatternCompiler.Calibration.StageFrame;
using PatternCompiler.Diagnostics;
using PatternCompiler.Fuzz.Mutation;
using PatternCompiler.Fuzz.Running;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Pictures.Plots;
using PatternCompiler.Prediction.Waveforms;
using PatternCompiler.Runs;
using PatternCompiler.Units;

namespace PatternCompiler.Fuzz.Targets;

/// <summary>One target for each fit: the table is read, fitted, printed and drawn. And one for the log of runs.</summary>
internal static class TableTargets
{
    private const double HalfFieldNanometres = 50_000;
    private const double LeftNanometres = 10;

    private static readonly Unit Dose = new("uC/cm2", Dimension.AreaDose, -2);
    private static readonly Unit Charge = new("fC", Dimension.Charge, -15);
    private static readonly Unit Time = new("us", Dimension.Time, -6);
    private static readonly Unit Speed = new("nm/us", Dimension.Speed, -3);

    /// <summary>The targets.</summary>
    public static IEnumerable<FuzzTarget> All =>
    [
        Target("fit-contrast", "dose [uC/cm2], thickness [nm]\n20, 300\n40, 298\n80, 240\n120, 120\n160, 20\n200, 0\n300, 1\n", Contrast),
        Target("fit-spread", "charge [fC], radius [nm]\n10, 20\n30, 60\n100, 110\n400, 400\n2000, 1800\n9000, 4000\n20000, 6000\n", Spread),
        Target("fit-blanker", "speed [nm/us], tail [nm], missing [nm]\n100, 20, 10\n200, 41, 19\n400, 79, 42\n", Blanker),
        Target(
            "fit-blanker-currents",
            "on [us], off [us], deflection, current [pA]\n1, 0, held, 200\n0, 1, held, 0.2\n2, 2, held, 98\n0.5, 8, held, 9\n8, 0.5, held, 187\n0.5, 8, leaves, 5\n2, 8, leaves, 34\n8, 0.5, enters, 6\n8, 2, enters, 7\n",
            Currents,
            [.. CupReadings.WordColumns]),
        Target(
            "fit-blanker-rates",
            "frequency [kHz], duty, current [pA]\n0, 1, 200\n0, 0, 1\n100, 0.5, 98\n250, 0.5, 95\n500, 0.5, 91\n100, 0.1, 18\n100, 0.9, 178\n",
            Currents,
            [.. CupReadings.WordColumns]),
        Target(
            "fit-hum",
            "line, time [ms], x [nm], y [nm]\n1, 0, 8, 6\n1, 3, 20, 2\n1, 6, 15, -4\n1, 8.1, 4, -6\n1, 11.1, -13, -5\n1, 14.1, -19, 0\n1, 16.2, -13, 4\n1, 19.2, 4, 6\n1, 22.2, 19, 3\n1, 24.3, 21, -1\n1, 27.3, 10, -6\n1, 30.3, -8, -6\n"
            + "1, 32.4, -17, -3\n1, 35.4, -15, 2\n1, 38.4, 0, 5\n1, 40.5, 13, 4\n1, 43.5, 22, 0\n1, 46.5, 15, -5\n1, 48.6, 3, -7\n1, 51.6, -14, -5\n1, 54.6, -16, 0\n1, 56.7, -8, 4\n1, 59.7, 10, 5\n1, 62.7, 22, 1\n",
            Hum),
        Target("fit-settling", "jump [um], wait [us], displacement [nm]\n90, 0, 9000\n90, 10, 800\n50, 10, 500\n50, 20, 40\n90, 40, 1\n", Settling),
        Target(
            "fit-response",
            "axis, sides, jump [um], wait [us], visit [us], visits, displacement [nm]\nx, 2, 90, 5, 1, 40, 32000\nx, 2, 90, 10, 1, 40, 13000\nx, 2, 90, 40, 1, 40, 9100\nx, 2, 60, 100, 1, 40, 5400\nx, 2, 90, 300, 1, 40, 4100\nx, 2, 60, 900, 1, 40, 3010\ny, 1, 90, 5, 1, 1, 33000\ny, 1, 90, 12, 1, 1, 8100\ny, 1, 60, 20, 1, 1, 1100\n",
            Response,
            [.. SettlingReading.WordColumns]),
        Target("fit-field", "commanded x [um], commanded y [um], measured x [um], measured y [um]\n-40, -40, -40.1, -39.9\n40, -40, 40.2, -40.1\n-40, 40, -39.8, 40\n40, 40, 40, 40.3\n0, 0, 0.1, 0\n20, 10, 20.1, 9.9\n-30, 5, -30, 5.1\n", Field),
        Target(
            "fit-views",
            "view, drawn x [um], drawn y [um], seen x [um], seen y [um]\nstraight, -40, -40, -39.2993, -39.6133\nstraight, -40, -13, -39.6530, -12.8780\nstraight, -40, 13, -39.7437, 13.0088\nstraight, -40, 40, -39.5770, 39.5189\nstraight, -13, -40, -12.7607, -39.9250\nstraight, -13, -13, -12.9147, -13.0188\nstraight, -13, 13, -12.9801, 13.0433\nstraight, -13, 40, -12.9597, 39.7256\nstraight, 13, -40, 12.8789, -39.9750\nstraight, 13, -13, 12.9267, -13.0706\nstraight, 13, 13, 12.8885, 12.9918\nstraight, 13, 40, 12.7639, 39.6764\nstraight, 40, -40, 39.0940, -39.7701\nstraight, 40, -13, 39.3382, -13.0369\nstraight, 40, 13, 39.3284, 12.8539\nstraight, 40, 40, 39.0665, 39.3739\n"
            + "turned, -40, -40, 40.2250, -41.5087\nturned, -40, -13, 14.0579, -41.8751\nturned, -40, 13, -11.5518, -41.9714\nturned, -40, 40, -38.0800, -41.7982\nturned, -13, -40, 40.3583, -14.8165\nturned, -13, -13, 13.9819, -15.0075\nturned, -13, 13, -11.8429, -15.0961\nturned, -13, 40, -38.5844, -15.0864\nturned, 13, -40, 40.2355, 11.0707\nturned, 13, -13, 13.8168, 11.0581\nturned, 13, 13, -12.0490, 10.9761\nturned, 13, 40, -38.8288, 10.8176\nturned, 40, -40, 39.8502, 37.6240\nturned, 40, -13, 13.5542, 37.7851\nturned, 40, 13, -12.1803, 37.7086\nturned, 40, 40, -38.8259, 37.3841\nmoved, -40, -40, -27.4470, -36.9655\n"
            + "moved, -40, -13, -27.7879, -10.0901\nmoved, -40, 13, -27.9381, 15.8808\nmoved, -40, 40, -27.9080, 42.4168\nmoved, -13, -40, -0.7769, -37.0573\nmoved, -13, -13, -0.9299, -10.0870\nmoved, -13, 13, -1.0725, 15.9805\nmoved, -13, 40, -1.2116, 42.6103\nmoved, 13, -40, 24.7692, -36.9105\nmoved, 13, -13, 24.7973, -10.0178\nmoved, 13, 13, 24.6645, 15.9732\nmoved, 13, 40, 24.3670, 42.5313\nmoved, 40, -40, 50.6781, -36.5300\nmoved, 40, -13, 50.8748, -9.8820\nmoved, 40, 13, 50.7539, 15.8660\nmoved, 40, 40, 50.3143, 42.1919\n",
            Views,
            [.. FieldViews.WordColumns]),
        Target(
            "fit-dose",
            "feature, drawn [nm], length [um], bars, pitch [nm], beside [um], factor, measured [nm], thickness [nm], cleared\nsquare,10000,,,,,0.45,,198,\nsquare,10000,,,,,0.6,,61,\nsquare,10000,,,,,0.8,,0,\nsquare,4000,,,,,0.8,,,yes\n"
            + "gap,300,10,,,4.85,1.3,255,,\nbar,300,10,,,,1.3,191,,\nbar,300,10,5,600,,1.3,223,,\nbar,300,10,,,,1.9,284,,\nbar,300,10,5,600,,1.9,305,,\ngap,300,10,5,600,,1.9,297,,\n",
            DoseToSize,
            [.. DoseReadings.WordColumns]),
        Target(
            "fit-converter",
            "axis, code, other, volts [V], uncertainty [V]\nx, 0, 0, -10, 0.0001\nx, 16384, 0, -5, 0.0001\nx, 32767, 0, -0.0003, 0.0001\nx, 32768, 0, 0.0004, 0.0001\nx, 65535, 0, 9.999, 0.0001\nx, 32768, 65535, 0.02, 0.0001\n"
            + "y, 0, 0, -10, 0.0001\ny, 16384, 0, -5, 0.0001\ny, 32767, 0, -0.0003, 0.0001\ny, 32768, 0, 0, 0.0001\ny, 65535, 0, 9.999, 0.0001\ny, 32768, 65535, 0.02, 0.0001\n",
            Converter,
            [.. ConverterReadings.WordColumns]),
        Target(
            "fit-alignment",
            "mark, wanted x [um], wanted y [um], found x [um], found y [um], uncertainty [nm]\nSW, -23, -32, -22.2, -33.1, 6\nSE, 23, -32, 24.5, -32, 6\nNE, 38, 12, 38.3, 12.7, 6\nNW, -38, 12, -38.7, 11.6, 6\nN, 0, 40, , ,\n",
            Alignment,
            [.. MarkTable.WordColumns]),
        Target(
            "fit-stage",
            "mark, seen x [um], seen y [um], reading x [mm], reading y [mm], from x, from y, uncertainty [nm]\nM, 0, 0, 12, -7, below, below, 20\nM, 40, 40.7, 11.96, -7.04, below, below, 20\nM, 40.7, -40, 11.96, -6.96, below, below, 20\nM, -40, -40.7, 12.04, -6.96, below, below, 20\nM, -40.7, 40, 12.04, -7.04, below, below, 20\nN, -3, -2, 12, -7, above, above, 20\n",
            StageOfReadings,
            [.. StageReadings.WordColumns]),
        Target(
            "fit-sample",
            "mark, place x [um], place y [um], reading x [mm], reading y [mm], seen x [um], seen y [um], focus [mm]\nSW, 0, 0, 1, 2, 0, 0, 10\nSE, 5000, 0, 6, 2.1, 1, 0, 10.004\nNE, 5000, 4000, 5.9, 6.1, 0, 2, 10.01\nNW, 0, 4000, 0.9, 6, 0, 0, 10.006\n",
            SampleOfReadings,
            [.. StageReadings.WordColumns]),
        new("scope-table", [Encoding.UTF8.GetBytes(Scope)], TextMutations.All, (input, _) => MeasuredTraceFile.Read(new MemoryStream(input), "scope-table", [])),
        new("run-log", [Encoding.UTF8.GetBytes(RunLog)], TextMutations.All, (input, _) => ReadRunLog(input)),
    ];

    /// <summary>A run in two parts, between another's lines.</summary>
    private const string RunLog =
        "{\"time\":\"2026-03-01T22:15:04.25Z\",\"run\":\"r1\",\"part\":1,\"event\":\"started\",\"stream\":\"a.stream\",\"sha256\":\"ab12\",\"records\":9,\"from\":1}\n"
        + "{\"time\":\"2026-03-01T22:15:05Z\",\"run\":\"r2\",\"part\":1,\"event\":\"fault\",\"written\":3,\"text\":\"gone\"}\n"
        + "{\"time\":\"2026-03-01T22:15:06Z\",\"run\":\"r1\",\"part\":1,\"event\":\"stopped\",\"written\":4,\"seconds\":2.5}\n"
        + "{\"time\":\"2026-03-01T22:16:04Z\",\"run\":\"r1\",\"part\":2,\"event\":\"started\",\"sha256\":\"ab12\",\"from\":5}\n";

    /// <summary>Two channels as scopes save them.</summary>
    private const string Scope = "Model,none\nSource,CH1,CH2\ntime (us),x (V),blank (mV)\n-1,0.1,3300\n0,0.1,3300\n1,0.2,5\n2,0.3,4\n3,0.4,3\n";

    private static void Contrast(MeasurementTable table)
    {
        double[] doses = table.PositiveColumn("dose", Dose);
        double[] thicknesses = table.Column("thickness", Unit.Nanometre);
        ContrastFit fit = ContrastFitter.Fit(doses, thicknesses, null, ResistTone.Positive, new DiagnosticSink());
        FitText.Of(fit);
        Draw(ContrastPlot.Compose(fit, doses, thicknesses));
    }

    private static void Spread(MeasurementTable table)
    {
        double[] charges = table.PositiveColumn("charge", Charge);
        double[] radii = table.PositiveColumn("radius", Unit.Nanometre);
        SpreadFit fit = SpreadFitter.Fit(charges, radii, 0, new DiagnosticSink());
        FitText.Of(fit);
        Draw(SpreadPlot.Compose(fit, charges, radii));
    }

    private static void Blanker(MeasurementTable table)
    {
        double[] speeds = table.PositiveColumn("speed", Speed);
        double[] tails = table.Column("tail", Unit.Nanometre);
        double[] heads = table.Column("missing", Unit.Nanometre);
        BlankerDelayFit fit = BlankerDelayFitter.Fit(speeds, tails, heads, new DiagnosticSink());
        FitText.Of(fit);
        Draw(BlankerDelayPlot.Compose(fit, speeds, tails, heads));
    }

    private static void Currents(MeasurementTable table)
    {
        BlankerCurrentFit fit = BlankerCurrentFitter.Fit(CupReadings.Of(table), new DiagnosticSink());
        BlankerCurrentText.Of(fit, 0.3);
        Draw(BlankerCurrentPlot.Compose(fit));
    }

    private static void Hum(MeasurementTable table)
    {
        HumRows rows = HumRows.Of(table, table.Has("position") ? 1e6 : null);
        foreach (bool fitsFrequency in (bool[])[false, true])
        {
            HumFit fit = HumFitter.Fit(rows, 50, 1, fitsFrequency, new DiagnosticSink());
            HumText.Of(fit);
            Draw(HumPlot.Compose(fit, rows));
        }
    }

    private static void Settling(MeasurementTable table)
    {
        double[] jumps = table.PositiveColumn("jump", Unit.Nanometre);
        double[] waits = table.Column("wait", Time);
        double[] displacements = table.Column("displacement", Unit.Nanometre);
        SettlingFit fit = SettlingFitter.Fit(jumps, waits, displacements, new DiagnosticSink());
        FitText.Of(fit, jumps, LeftNanometres);
        Draw(SettlingPlot.Compose(fit, jumps, waits, displacements));
    }

    private static void Response(MeasurementTable table)
    {
        IReadOnlyList<SettlingReading> readings = SettlingReading.Of(table);
        IReadOnlyList<ResponseFit> fits = ResponseFitter.FitAxes(readings, new DiagnosticSink());
        ResponseText.Of(fits, readings.Select(reading => reading.Jump), LeftNanometres);
        Draw(ResponsePlot.Compose(fits, readings));
    }

    private static void Field(MeasurementTable table)
    {
        IReadOnlyList<FieldMark> marks = FieldMark.Of(table);
        (IReadOnlyList<FieldFit> fits, FieldFit chosen) = FieldFitter.FitAll(marks, HalfFieldNanometres, new DiagnosticSink());
        FitText.Of(fits, chosen);
        Draw(FieldResidualPlot.Compose(chosen, marks));
    }

    private static void Views(MeasurementTable table)
    {
        if (!table.Has("view"))
        {
            return;
        }

        var views = FieldViews.Of(table, HalfFieldNanometres);
        foreach (KnownLength? known in (KnownLength?[])[null, new KnownLength(-40_000, -40_000, 40_000, 40_000, 113_300)])
        {
            (IReadOnlyList<FieldFit> fits, FieldFit chosen) = SelfCalibration.FitAll(views, HalfFieldNanometres, known, new DiagnosticSink());
            FitText.Of(fits, chosen);
            Draw(FieldResidualPlot.Compose(chosen, views));
        }
    }

    private static void DoseToSize(MeasurementTable table)
    {
        double[] doses = [.. table.PositiveColumn("factor", Unit.One).Select(factor => 250 * factor)];
        IReadOnlyList<DoseReading> readings = DoseReadings.Of(table, doses, ResistTone.Positive);
        SpreadFunction spread = SpreadFunction.TwoGaussian(60, 4000, 0.74);
        DoseFit fit = DoseFitter.Fit(readings, spread, DoseFitter.UsualSpreadError, ResistTone.Positive, new DiagnosticSink());
        FitText.Of(fit);
        Draw(DosePlot.Compose(fit, readings, spread));
    }

    private static void StageOfReadings(MeasurementTable table)
    {
        StageFit fit = StageFitter.Fit(StageReadings.Of(table), null, new DiagnosticSink());
        StageText.Of(fit);
        Draw(AlignmentPlot.Compose(fit.Frame));
    }

    private static void SampleOfReadings(MeasurementTable table)
    {
        var stage = new Stage(1, 1) { Frame = LayerPlacement.Of(0, 0, 1, 1.01, 0.99, 0.01), BacklashNanometres = (3000, 2000) };
        SampleFit fit = SampleFitter.Fit(StageReadings.Of(table), stage, null, new DiagnosticSink());
        StageText.Of(fit);
        Draw(AlignmentPlot.Compose(fit.Placement));
    }

    private static void Alignment(MeasurementTable table)
    {
        AlignmentFit fit = AlignmentFitter.Fit(MarkTable.Of(table, null), null, new DiagnosticSink());
        AlignmentText.Of(fit);
        Draw(AlignmentPlot.Compose(fit));
    }

    private static void Converter(MeasurementTable table)
    {
        Dac dac = DefaultFiles.Machine.Dac;
        ConverterFit fit = ConverterFitter.Fit(ConverterReadings.Of(table, dac, null), dac, isFromPlaces: false, table.PlaceOf, new DiagnosticSink());
        ConverterText.Of(fit, dac);
        Draw(ConverterPlot.Compose(fit));
    }

    private static void Draw(Plot plot) => PlotRenderer.RenderSvg(plot, new MemoryStream());

    private static FuzzTarget Target(string name, string seed, Action<MeasurementTable> fit, string[]? wordColumns = null) => new(
        name, [Encoding.UTF8.GetBytes(seed)], TextMutations.All, (input, _) => fit(MeasurementTable.Read(new MemoryStream(input), name, wordColumns ?? [])))
    {
        Words = Repository.Words("0 1e308 1e30 -1e30 1e-300 nm um mm m uC/cm2 fC us s nm/us [nm] # dose radius"),
    };

    private static void ReadRunLog(byte[] input)
    {
        foreach (LoggedRun run in LoggedRun.ReadAll(new MemoryStream(input), "run-log"))
        {
            RunText.Details(run);
        }

        RunHistory.Read(new MemoryStream(input), "run-log", "ab12").Join(7, "fresh", "run-log", new DiagnosticSink());
    }
}
