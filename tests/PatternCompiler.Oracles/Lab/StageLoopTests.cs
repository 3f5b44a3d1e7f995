using System.Globalization;
using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.StageFrame;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;
using Xunit.Abstractions;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// A stage that nobody has described: turned by a degree, skewed, scaled, with whole steps of a micrometre and screws that have 3 um of play. One
/// mark is brought to the middle and the corners of the field, some of it from the other side; what 'fit stage' makes of these readings goes into
/// the machine file, and a pattern of six write fields is written with the stage sent by the manifest's readings. Squares on both sides of every
/// seam are then looked for in the print.
/// </summary>
public sealed class StageLoopTests(ITestOutputHelper console)
{
    private const int UsualSeeds = 3;
    private const double Picoamperes = 200;
    private const double LargestSeamNanometres = 100;
    private const double Play = 3000;
    private const double Side = 400;
    private const double Pitch = 4000;
    private const double Margin = 2000;

    [Fact]
    public void Seams_close_with_a_stage_that_is_turned_and_has_play() => LabLoop.Run(console, UsualSeeds, Loop);

    private static (string Found, bool IsRight) Loop(long seed)
    {
        var dice = new Dice(seed, "stage loop");
        LabTruth still = LabTruth.Draw(seed, new LabSetup { CurrentPicoamperes = Picoamperes, Faults = LabFaults.None });
        StageTruth stage = new(dice.Sign() * Math.PI / 180, Play, Play, 10)
        {
            ScaleX = 1 + dice.Normal(0, 0.004), ScaleY = 1 + dice.Normal(0, 0.004), SkewRadians = dice.Normal(0, 0.002), InvertX = dice.Sign() > 0, InvertY = dice.Sign() > 0,
            OriginNanometres = (dice.Between(-1e7, 1e7), dice.Between(-1e7, 1e7)), StepNanometres = 1000,
        };
        LabTruth truth = still with { Stage = stage };
        (double X, double Y) mark = (dice.Between(-3e5, 3e5), dice.Between(-3e5, 3e5));
        var drive = new StageDrive(stage, new Dice(seed, "stops"));
        MeasurementTable table = MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(MarkReadings.Of(drive, stage, mark, dice))), "readings", [.. StageReadings.WordColumns]);
        StageFit fit = StageFitter.Fit(StageReadings.Of(table), null, new DiagnosticSink());

        // Who does not know of the frame knows the origin and the senses of the axes, and comes to fields as it happens.
        string bare = string.Create(CultureInfo.InvariantCulture, $"stage:\n  origin: [{Math.Round(fit.Stage.OriginNanometres.X, 1)} nm, {Math.Round(fit.Stage.OriginNanometres.Y, 1)} nm]\n")
            + (fit.Stage.InvertX ? "  invert_x: yes\n" : "") + (fit.Stage.InvertY ? "  invert_y: yes\n" : "");
        using var unknown = new StageExposure(truth, bare);
        double free = unknown.WorstOfStops(drive);
        using var known = new StageExposure(truth, StageText.Of(fit));
        (double seam, int seams) = known.WorstSeam(drive, mark);
        double rotation = fit.Stage.Frame!.RotationDegrees - (stage.RotationRadians * 180 / Math.PI);
        return (
            string.Create(
                CultureInfo.InvariantCulture,
                $"rotation {rotation:0.0000} deg off, backlash ({fit.BacklashX!.Value:0}, {fit.BacklashY!.Value:0}) nm; {seams} seams, worst {seam:0.0} nm; {free:0} nm without the frame and from either side"),
            seam < LargestSeamNanometres && seams == 14 && free > 1000);
    }

    /// <summary>The pattern as it is built for a stage that a machine file describes, and written by its manifest.</summary>
    private sealed class StageExposure : IDisposable
    {
        private static readonly double[] Along = [.. Enumerable.Range(0, 69).Select(i => (i - 34) * Pitch)];

        private readonly TemporaryFolder folder = new();
        private readonly LabTruth truth;

        public StageExposure(LabTruth truth, string stage)
        {
            this.truth = truth;
            SpreadPart[] parts = [.. truth.Resist.Spread];
            double clearing = truth.Resist.EdgeMicrocoulombs * Picoamperes / truth.Column.CurrentPicoamperes;
            folder.Write("process.yaml", string.Create(
                CultureInfo.InvariantCulture,
                $"process: p\ndose: {{area: {2 * clearing:0.###} uC/cm2, line: 1 nC/cm, dot: 1 fC}}\nresist: {{contrast: 4, clearing: {clearing:0.###} uC/cm2}}\nspread: {{forward: {parts[0].RangeNanometres:0.###} nm, backscatter: {parts[1].RangeNanometres:0.###} nm, ratio: {parts[1].Ratio:0.####}}}\n"));
            folder.Write("machine.yaml", string.Create(
                CultureInfo.InvariantCulture,
                $"machine: m\ndac: {{bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}}\ndeflection: {{field: 100 um, invert_y: yes}}\nsettle: {{fixed: 15 us}}\n"
                + $"clock: {{rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}}\nblanker: {{active: high}}\nbeam: {{current: {Picoamperes} pA, spot: 20 nm, energy: 30 keV}}\nlink: {{rate: 8 MB/s, buffer: 64 KiB}}\n")
                + stage.Replace("stage:\n", "stage:\n  settle: 1 s\n  step: 1 um\n", StringComparison.Ordinal));
            var drawing = new StringBuilder("layout 1\nunit nm\nlayer squares\n");
            foreach ((double x, double y) in Squares)
            {
                drawing.Append(CultureInfo.InvariantCulture, $"rect on squares from ({x - (Side / 2)}, {y - (Side / 2)}) to ({x + (Side / 2)}, {y + (Side / 2)})\n");
            }

            folder.Write("squares.layout", drawing.ToString());
            folder.Write(
                "job.yaml",
                "job: squares\nmachine: machine.yaml\nprocess: process.yaml\nsources: [squares.layout]\nfill: {line_pitch: 16 codes, point_step: 16 codes}\ncorrect: {target: edge}\n"
                + "fields: {size: 95 um, margin: 2 um, manifest: fields.yaml}\noutputs: [{file: squares.stream, format: stream}]\n");
            BuildRunner.Run(BuildSettings.Read(JobFile.Read(folder["job.yaml"])), new FilesOnDisk(), new DiagnosticSink(), CancellationToken.None);
            Manifest = FieldManifestFile.Parse(File.ReadAllText(folder["fields.yaml"]), "fields.yaml");
        }

        private PatternCompiler.Jobs.Fields.FieldManifest Manifest { get; }

        // Two rows along x, and three columns along y, one of squares for each field.
        private static IEnumerable<(double X, double Y)> Squares =>
        [
            .. Along.SelectMany(x => ((double, double)[])[(x, -50_000), (x, 50_000)]),
            .. Along.Where(y => Math.Abs(y) <= 92_000 && Math.Abs(Math.Abs(y) - 50_000) > 1500).SelectMany(y => ((double, double)[])[(-102_000, y), (2000, y), (102_000, y)]),
        ];

        /// <summary>By how much neighbouring fields lie apart where the stage stops, at worst.</summary>
        public double WorstOfStops(StageDrive drive)
        {
            var lab = new Laboratory(truth);
            lab.WriteByReadings(folder["fields.yaml"], drive);
            double[][] off = [.. Manifest.Visits.Zip(lab.Stops, (visit, stop) => (double[])[stop.X - (visit.Field.Centre.X * 0.1), stop.Y - (visit.Field.Centre.Y * 0.1)])];
            return off.SelectMany((one, i) => off.Skip(i + 1).Where((_, k) => AreNeighbours(Manifest.Visits[i], Manifest.Visits[i + 1 + k])).Select(
                other => Math.Max(Math.Abs(one[0] - other[0]), Math.Abs(one[1] - other[1])))).Max();
        }

        /// <summary>By how much prints lie apart across seams, at worst; and how many were looked at, along and across the seam.</summary>
        public (double Worst, int Seams) WorstSeam(StageDrive drive, (double X, double Y) mark)
        {
            Sample sample = new Laboratory(truth).WriteByReadings(folder["fields.yaml"], drive);
            double worst = 0;
            int seams = 0;
            foreach (FieldVisit left in Manifest.Visits)
            {
                foreach (FieldVisit right in Manifest.Visits.Where(right => AreNeighbours(left, right)))
                {
                    bool isBeside = right.Field.Column > left.Field.Column;
                    double seam = 0.1 * (isBeside ? left.Field.Cell.XRight : left.Field.Cell.YTop);
                    (double X, double Y)[] near = [.. Squares.Where(square => Holds(left, square) || Holds(right, square)).Where(square => Math.Abs(Across(square) - seam) is > Margin and < Margin + Pitch)];
                    foreach ((double X, double Y) before in near.Where(square => Across(square) < seam))
                    {
                        (double X, double Y) after = near.Where(square => Across(square) > seam).MinBy(square => Math.Abs(Beside(square) - Beside(before)));
                        (double beforeX, double beforeY) = Off(sample, before, mark);
                        (double afterX, double afterY) = Off(sample, after, mark);
                        worst = Math.Max(worst, Math.Max(Math.Abs(afterX - beforeX), Math.Abs(afterY - beforeY)));
                        seams += 2;
                        break;
                    }

                    double Across((double X, double Y) square) => isBeside ? square.X : square.Y;

                    double Beside((double X, double Y) square) => isBeside ? square.Y : square.X;
                }
            }

            return (worst, seams);
        }

        public void Dispose() => folder.Dispose();

        private static bool AreNeighbours(FieldVisit one, FieldVisit other) =>
            (other.Field.Row == one.Field.Row && other.Field.Column == one.Field.Column + 1) || (other.Field.Column == one.Field.Column && other.Field.Row == one.Field.Row + 1);

        private static bool Holds(FieldVisit visit, (double X, double Y) square) =>
            square.X > 0.1 * visit.Field.Cell.XLeft && square.X < 0.1 * visit.Field.Cell.XRight && square.Y > 0.1 * visit.Field.Cell.YBottom && square.Y < 0.1 * visit.Field.Cell.YTop;

        // The pattern's origin is where the mark lies.
        private static (double X, double Y) Off(Sample sample, (double X, double Y) square, (double X, double Y) mark)
        {
            (double x, double y) = (square.X + mark.X, square.Y + mark.Y);
            DevelopedFilm film = sample.Develop(SampleWindow.Around(x, y, 1400, 1400));
            return (Middle(1, 0), Middle(0, 1));

            double Middle(double stepX, double stepY) =>
                film.DistanceToEdge(x, y, stepX, stepY, 650) is { } up && film.DistanceToEdge(x, y, -stepX, -stepY, 650) is { } down
                    ? (up - down) / 2
                    : throw new InvalidOperationException(string.Create(CultureInfo.InvariantCulture, $"the square at ({square.X}, {square.Y}) nm is not where it should be"));
        }
    }

    private sealed class FilesOnDisk : IBuildFiles
    {
        public Stream OpenDrawing(string path) => File.OpenRead(path);

        public IncludedFile? OpenInclude(string name, string from) => null;

        public IBuildOutput Create(string path, bool isBinary) => new Output(path);

        private sealed class Output(string path) : IBuildOutput
        {
            public Stream Stream { get; } = new MemoryStream();

            public void Close()
            {
            }

            public void Commit() => File.WriteAllBytes(path, ((MemoryStream)Stream).ToArray());

            public void Dispose() => Stream.Dispose();
        }
    }
}
