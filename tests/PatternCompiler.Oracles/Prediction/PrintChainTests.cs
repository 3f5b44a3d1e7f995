using System.Globalization;
using System.Text.Json;
using PatternCompiler.BackEnds.Drawing;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Generate.Patterns;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Limits;
using PatternCompiler.Model;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Records;
using PatternCompiler.Oracles.Lab;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Oracles.Prediction;

/// <summary>
/// Examples and generated patterns against <c>print_chain.py</c> beside this file: from the bytes of the stream and the drawing to
/// charge, time, printed edges and what hangs together, with no code in common. Places of windows are in micrometres: left,
/// bottom, right and top.
/// </summary>
public sealed class PrintChainTests : IDisposable
{
    private const double EdgeTolerance = 0.2;
    private readonly string folder = Directory.CreateTempSubdirectory("print-chain").FullName;

    private static string Examples => OutsidePrograms.Corpus("..", "..", "examples");

    /// <summary>The examples' jobs. Those that take half a minute for what the others show too are for long tests.</summary>
    public static TheoryData<string, string, string, double> Jobs
    {
        get
        {
            var jobs = new TheoryData<string, string, string, double>
            {
                { "zone-plate/job.yaml", "zone-plate.layout", "11 -1 13.4 1; 3 3 5 5", 10 },
                { "humidity-sensor/job-corrected.yaml", "humidity-sensor.dxf", "23 14 25.5 16; -18 9 -16 13", 25 },
                { "no-blanker/job.yaml", "sensor.layout", "", 25 }, // the chain knows of no beam that is on while it jumps: shapes alone
                { "humidity-sensor/job-12bit.yaml", "humidity-sensor.dxf", "-18 9 -16 13", 25 },
                { "dose-test/job.yaml", "dose-test.layout", "28 -12 31 -9", 25 },
            };
            if (Environment.GetEnvironmentVariable("PATTERNC_LONG_TESTS") is { Length: > 0 })
            {
                jobs.Add("humidity-sensor/job.yaml", "humidity-sensor.dxf", "-18 9 -16 13", 25);
                jobs.Add("multi-field/job.yaml", "sensor-row.layout", "-69 -2 -66 2", 50);
            }

            return jobs;
        }
    }

    [PrintChainTheory]
    [MemberData(nameof(Jobs))]
    public void Examples_print_as_the_chain_says(string jobFile, string drawing, string windows, double pixel)
    {
        Job job = JobFile.Read(Path.Combine(Examples, jobFile));
        Compare(BuildSettings.Read(job), Path.Combine(Path.GetDirectoryName(job.File)!, drawing), windows, pixel);
    }

    [PrintChainTheory]
    [InlineData("grating", "bars=8 length=\"3 um\"", "-1 -1 1 1")]
    [InlineData("grating", "bars=5 length=\"4 um\" pitch=\"0.7 um\" duty=0.4", "-1 -1.5 1 1.5")]
    [InlineData("zone-plate", "zones=8", "-16 -2 16 2")]
    [InlineData("zone-plate", "zones=5 focus=\"30 um\" wavelength=\"400 nm\"", "-8 -8 0 8")]
    [InlineData("interdigitated", "fingers=6 overlap=\"4 um\" pad=\"3 um\"", "-3 -1 3 1")]
    [InlineData("interdigitated", "fingers=4 finger=\"0.3 um\" gap=\"0.4 um\" overlap=\"3 um\" pad=\"2 um\" bus=\"1 um\"", "-1 -1 1 1")]
    [InlineData("contact-pads", "pads=2 field=\"24 um\" pad=\"5 um\" centre=\"8 um\"", "-12 -6 -4 6")]
    [InlineData("contact-pads", "pads=1 field=\"20 um\" pad=\"4 um\" lead=\"0.5 um\" centre=\"6 um\"", "-10 -3 -2 3")]
    [InlineData("resolution-star", "spokes=8 radius=\"5 um\" inner=\"1 um\"", "1 -3 5 3")]
    [InlineData("resolution-star", "spokes=12 radius=\"6 um\" inner=\"1.5 um\"", "-5 -5 5 -2")]
    public void Generated_patterns_print_as_the_chain_says(string pattern, string settings, string windows)
    {
        KeyValuePair<string, string>[] values = [.. settings.Split(' ').Aggregate(new List<string>(), Joined).Select(pair => KeyValuePair.Create(pair.Split('=')[0], pair.Split('=')[1].Trim('"')))];
        string path = Path.Combine(folder, "pattern.layout");
        using (FileStream stream = File.Create(path))
        {
            LayoutWriter.Write(TestPatterns.Find(pattern).Build(values), stream);
        }

        Job job = JobFile.Read(Path.Combine(Examples, "humidity-sensor", "job.yaml")) with { Sources = [new JobSource(path)], Layers = [], Nets = [] };
        Compare(BuildSettings.Read(job), path, windows, 20);
    }

    public void Dispose() => Directory.Delete(folder, recursive: true);

    // A value in quotes may hold blanks.
    private static List<string> Joined(List<string> parts, string next)
    {
        if (parts.Count > 0 && parts[^1].Count(c => c == '"') == 1)
        {
            parts[^1] += " " + next;
        }
        else
        {
            parts.Add(next);
        }

        return parts;
    }

    private void Compare(BuildSettings settings, string drawing, string windowText, double pixel)
    {
        SampleWindow[] windows = [.. windowText.Split("; ", StringSplitOptions.RemoveEmptyEntries).Select(text => text.Split(' ').Select(n => double.Parse(n, CultureInfo.InvariantCulture) * 1000).ToArray()).Select(w => new SampleWindow(w[0], w[1], w[2], w[3]))];
        var options = new SimulationOptions(settings.Process.Spread!, settings.Machine.Beam.SpotNanometres, settings.Process.AreaDoseCoulombsPerSquareMetre / 2)
        {
            RestNanometres = settings.Machine.Blanker.IsPresent ? null : settings.Machine.ParkNanometres,
            Zones = [.. windows],
        };

        // Where only edges are compared, a part is simulated.
        var map = new ChargeMap(5, pixel > 0 ? null : windows.Aggregate((a, b) => a.With(b)).Widened(options.SearchNanometres));
        var streams = new StreamFiles(folder);
        var judge = new ExposureJudge(settings);
        var pipeline = new Pipeline(settings, new DiskFiles(), new DiagnosticSink(), CancellationToken.None);
        pipeline.Run(PipelineInput.Drawings, [judge, streams, new ReplayWatcher(settings.Machine, map)]);
        var reference = pipeline.Reference();
        SimulationResult result = Developer.Run(
            map, DrawnPattern.Of(reference, null, WorkLimits.Usual, CancellationToken.None), options with { GridPicometres = reference.GridPicometres }, CancellationToken.None);

        JsonElement chain = Run(settings, streams, drawing, windows, pixel, options);
        ExposureEstimate estimate = judge.ToEstimate();
        Assert.Equal(chain.GetProperty("charge_C").GetDouble(), estimate.ChargeCoulombs, 1e-9 * estimate.ChargeCoulombs);
        Assert.Equal(chain.GetProperty("points").GetInt64(), estimate.Points);
        Assert.Equal(
            chain.GetProperty("ticks").GetInt64() / streams.ClockHertz,
            estimate.ExposingSeconds + estimate.SettlingSeconds + estimate.WaitingSeconds,
            1e-9 * estimate.TotalSeconds);
        for (int i = 0; i < windows.Length; i++)
        {
            JsonElement edges = chain.GetProperty("windows")[i];
            EdgeErrorReport found = result.ZoneEdges[i];
            Assert.True(edges.GetProperty("samples").GetInt32() >= 50, $"window {i} has few edges");
            Assert.Equal(0, found.Lost);
            Assert.Equal(edges.GetProperty("mean").GetDouble(), found.MeanNanometres, EdgeTolerance);
            Assert.Equal(edges.GetProperty("three_sigma").GetDouble(), found.ThreeSigmaNanometres, EdgeTolerance);
        }

        if (pixel > 0)
        {
            JsonElement shapes = chain.GetProperty("shapes");
            ShapeReport told = result.Shapes!;
            Assert.Equal(shapes.GetProperty("lost").GetInt32(), told.Count(ShapeFaultKind.Lost));
            Assert.Equal(shapes.GetProperty("islands").GetInt32(), told.Count(ShapeFaultKind.Island));
            Assert.Equal(shapes.GetProperty("shorts").GetInt32() > 0, told.Count(ShapeFaultKind.Shorted) > 0);
            Assert.Equal(shapes.GetProperty("opens").GetInt32() > 0, told.Count(ShapeFaultKind.Open) > 0);
        }
    }

    private JsonElement Run(BuildSettings settings, StreamFiles streams, string drawing, SampleWindow[] windows, double pixel, SimulationOptions options)
    {
        string dxf = drawing;
        if (Path.GetExtension(drawing) != ".dxf")
        {
            dxf = Path.Combine(folder, "drawing.dxf");
            using FileStream source = File.OpenRead(drawing);
            using FileStream target = File.Create(dxf);
            DxfWriter.Write(DrawingReader.Read(source, drawing, DrawingOptions.Default, new DiagnosticSink()), target, DrawingWriteOptions.Default, new DiagnosticSink());
        }

        string task = Path.Combine(folder, "task.json");
        File.WriteAllText(task, JsonSerializer.Serialize(new Dictionary<string, object?>
        {
            ["streams"] = streams.Parts.Select(part => new Dictionary<string, object> { ["path"] = part.Path, ["origin_nm"] = new[] { part.X, part.Y } }),
            ["dxf"] = dxf,
            ["layers"] = settings.Job.Sources[0].Reading.Layers,
            ["machine"] = MachineOf(settings.Machine),
            ["spread"] = new Dictionary<string, object>
            {
                ["forward_nm"] = options.Spread.Terms[0].RangeNanometres,
                ["backscatter_nm"] = options.Spread.Terms[1].RangeNanometres,
                ["ratio"] = options.Spread.Terms[1].Ratio,
            },
            ["spot_nm"] = options.SpotNanometres,
            ["level"] = options.LevelCoulombsPerSquareMetre,
            ["windows"] = windows.Select(w => new[] { w.Left, w.Bottom, w.Right, w.Top }),
            ["pixel_nm"] = pixel,
        }));
        string program = OutsidePrograms.Corpus("..", "PatternCompiler.Oracles", "Prediction", "print_chain.py");
        (int exitCode, string output, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, "-W", "ignore", program, task);
        Assert.True(exitCode == 0, errors);
        return JsonDocument.Parse(output).RootElement;
    }

    private static Dictionary<string, object> MachineOf(Machine machine)
    {
        var told = new Dictionary<string, object>
        {
            ["current_A"] = machine.Beam.CurrentAmperes,
            ["tau_s"] = machine.Settle.TimeConstantSeconds,
            ["on_delay_s"] = machine.Blanker.OnDelaySeconds,
            ["off_delay_s"] = machine.Blanker.OffDelaySeconds,
        };
        if (machine.Deflection.Calibration is PolynomialCalibration { Polynomial: FieldPolynomial bent })
        {
            told["half_field_nm"] = bent.HalfFieldNanometres;
            told["polynomial"] = new[] { bent.XNanometres, bent.YNanometres };
        }

        return told;
    }

    /// <summary>Writes one stream for every position of the stage.</summary>
    private sealed class StreamFiles(string folder) : ExposureWatcher, IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        private ExposureStreamWriter? writer;
        private FileStream? file;

        public List<(string Path, double X, double Y)> Parts { get; } = [];

        public double ClockHertz { get; private set; }

        public override IDocumentSink<RecordsHeader, DeflectionRecord>? Records => this;

        public override void Begin(StagePosition position) =>
            Parts.Add((Path.Combine(folder, $"{Parts.Count}.stream"), position.XFemtometres * 1e-6, position.YFemtometres * 1e-6));

        public void Begin(RecordsHeader header)
        {
            ClockHertz = header.ClockHertz;
            file = File.Create(Parts[^1].Path);
            writer = new ExposureStreamWriter(file, StreamProfile.Lines);
            writer.Begin(header);
        }

        public void Write(ReadOnlySpan<DeflectionRecord> items) => writer!.Write(items);

        public void End()
        {
            writer!.End();
            file!.Dispose();
        }
    }
}
