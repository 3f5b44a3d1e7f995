using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Generate;
using PatternCompiler.Generate.Patterns;
using PatternCompiler.Jobs;
using PatternCompiler.Measure;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Model.Layout;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using LabWindow = PatternCompiler.VirtualLab.Specimen.SampleWindow;
using PictureRead = PatternCompiler.Measure.Micrographs.Micrograph;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// A target as 'generate' draws it, written in a virtual lab at the dose that is right there, and micrographs of it measured against
/// the drawing. The machine file says the fill, waits and delays that a test asks for.
/// </summary>
internal sealed class TargetExposure : IDisposable
{
    private readonly TemporaryFolder folder = new();
    private readonly LayoutDocument layout;
    private readonly double clearing;
    private readonly double range;
    private readonly double ratio;
    private readonly double current;
    private int pictures;

    public TargetExposure(LabTruth truth, double statedPicoamperes, string pattern, string settings)
    {
        Lab = new Laboratory(truth);
        current = statedPicoamperes;
        layout = Drawn(pattern, settings);
        SpreadPart[] parts = [.. truth.Resist.Spread];
        clearing = truth.Resist.EdgeMicrocoulombs * statedPicoamperes / truth.Column.CurrentPicoamperes;
        ratio = parts[1].Ratio;
        range = Math.Sqrt((parts[0].RangeNanometres * parts[0].RangeNanometres) + Math.Pow(truth.Column.SpotNanometres / 1.6651, 2));
        folder.Write("process.yaml", string.Create(
            CultureInfo.InvariantCulture,
            $"process: p\ndose: {{area: {2 * clearing:0.###} uC/cm2, line: {LineNanocoulombs(50):0.####} nC/cm, dot: {DotFemtocoulombs(60):0.###} fC}}\nresist: {{contrast: 4, clearing: {clearing:0.###} uC/cm2}}\nspread: {{forward: {parts[0].RangeNanometres:0.###} nm, backscatter: {parts[1].RangeNanometres:0.###} nm, ratio: {ratio:0.####}}}\n"));
        using FileStream stream = File.Create(folder["target.layout"]);
        LayoutWriter.Write(layout, stream);
    }

    public Laboratory Lab { get; }

    public static LayoutDocument Drawn(string pattern, string settings) => TestPatterns.Find(pattern).Build(
        settings.Split(' ').Select(pair => KeyValuePair.Create(pair.Split('=')[0], pair.Split('=')[1].Replace("um", " um", StringComparison.Ordinal).Replace("nm", " nm", StringComparison.Ordinal))));

    /// <summary>Settings of a run.</summary>
    /// <param name="settle">Of the machine file.</param>
    /// <param name="blanker">Of the machine file.</param>
    /// <param name="job">The rest of the job.</param>
    /// <param name="machine">The rest of the machine file.</param>
    public BuildSettings Settings(string settle, string blanker, string job, string machine = "")
    {
        folder.Write("machine.yaml", string.Create(
            CultureInfo.InvariantCulture,
            $"machine: m\ndac: {{bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}}\ndeflection: {{field: 100 um, invert_y: yes}}\nsettle: {{{settle}}}\n"
            + $"clock: {{rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}}\nblanker: {{{blanker}}}\nbeam: {{current: {current} pA, spot: 20 nm, energy: 30 keV}}\nlink: {{rate: 8 MB/s, buffer: 64 KiB}}\n{machine}"));
        folder.Write("job.yaml", $"job: target\nmachine: machine.yaml\nprocess: process.yaml\nsources: [target.layout]\norder: {{by: as given}}\n{job}\n");
        return BuildSettings.Read(JobFile.Read(folder["job.yaml"]));
    }

    /// <summary>Settings of a run that writes another drawing, at the same dose.</summary>
    public BuildSettings SettingsOf(string drawing, string settle, string blanker, string job)
    {
        folder.Write("target.layout", drawing);
        return Settings(settle, blanker, job);
    }

    /// <summary>Writes it once, in one field.</summary>
    public Sample Write(BuildSettings settings) => Lab.Write(DecodedExposure.Read(CompiledExposure.Of(settings)));

    /// <summary>Writes it at several places of the stage, in nanometres.</summary>
    public Sample Write(BuildSettings settings, params (double X, double Y)[] visits)
    {
        File.WriteAllBytes(folder["target.stream"], CompiledExposure.Of(settings));
        string all = string.Concat(visits.Select((visit, i) => string.Create(
            CultureInfo.InvariantCulture,
            $"- {{visit: {i + 1}, field: \"{i + 1}\", stage_um: [{visit.X / 1000}, {visit.Y / 1000}], centre_um: [{visit.X / 1000}, {visit.Y / 1000}], move_s: 1, files: [{{file: target.stream, content: stream}}]}}\n")));
        folder.Write("fields.yaml", "manifest: 1\nvisits:\n" + all);
        return Lab.WriteFields(folder["fields.yaml"]);
    }

    /// <summary>Takes a picture and measures it against the target, or another drawing.</summary>
    public MeasuredPicture Measure(Sample sample, double x, double y, int width, int height, double pixel, double search, MapFreedom freedom, LayoutDocument? against = null)
    {
        var dice = new Dice(Lab.Truth.Seed, FormattableString.Invariant($"camera {pictures++}"));
        var camera = new Camera(Lab.Truth.Microscope, dice);
        var shot = new Shot { CentreXNanometres = x + dice.Normal(0, 60), CentreYNanometres = y + dice.Normal(0, 60), Width = width, Height = height, NanometresPerPixel = pixel };
        PictureRead picture = MicrographReader.Read(new MemoryStream(PictureFiles.Npy(camera.Photograph(sample.Develop(camera.WindowOf(shot)), shot))), "picture.npy", CancellationToken.None);
        FlatLayout flat = FlattenPass.Run(against ?? layout, new FlattenOptions(), new DiagnosticSink());
        var options = new MeasureOptions(pixel, freedom) { SearchNanometres = search, Window = new(x - 500, y - 500, x + 500, y + 500) };
        return MicrographMeasurement.Run(picture, flat, options, "picture", new DiagnosticSink());
    }

    public void Dispose() => folder.Dispose();

    // Line dose and charge at which lines and dots alone print so far from their middle.
    private double LineNanocoulombs(double half) => clearing * range * 1e-4 * Math.Sqrt(Math.PI) * (1 + ratio) * Math.Exp(half * half / (range * range));

    private double DotFemtocoulombs(double radius) => clearing * 1e-5 * Math.PI * range * range * (1 + ratio) * Math.Exp(radius * radius / (range * range));
}
