using System.Text;
using System.Text.RegularExpressions;
using PatternCompiler.Fuzz.Mutation;
using PatternCompiler.Fuzz.Running;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Batch;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Fuzz.Targets;

/// <summary>One target for each settings file. Their bytes are decoded as those of files are.</summary>
internal static partial class SettingsTargets
{
    private static readonly byte[][] Marks = Repository.Words("[ ] { } - &a *a | > ? : # ' \" %YAML --- ... ~ null yes no auto um nm us ms s kHz MHz V mV keV pA nA uC/cm2 pC/cm codes ticks deg MB/s KiB");

    /// <summary>The targets.</summary>
    public static IEnumerable<FuzzTarget> All =>
    [
        Target("yaml", [.. Files("*.yaml")], text => YamlText.Parse(text, "a.yaml")),
        Target("machine", [DefaultFiles.MachineText, .. Files("machine*.yaml")], text => MachineFile.Parse(text, "machine.yaml")),
        Target("process", [DefaultFiles.ProcessText, .. Files("process*.yaml")], text => ProcessFile.Parse(text, "process.yaml")),
        Target("job", [DefaultFiles.JobText, .. Files("*job*.yaml"), Full], text => JobFile.Parse(text, "job.yaml")),
        Target("manifest", [Manifest], text => FieldManifestFile.Parse(text, "manifest.yaml")),
        Target("batch", [Batch, .. Files("series.yaml")], ReadBatch),
    ];

    /// <summary>A batch with all that it may vary.</summary>
    private const string Batch =
        "batch: all\njobs: [job.yaml, job-*.yaml, '**/job.yaml']\nvary:\n  process: process.yaml\n  line_dose: [1 nC/cm, 2 nC/cm]\n  dot_charge: 1 fC\n  dose_factor: [0.9, 1, 1.1]\n"
        + "  current: [100 pA, 1 nA]\n  field: 80 um\n  point_step: 5 nm\n  strategy: [raster, inward contours]\n  parameters: {pitch: [2 um, 3 um], n: [1, 2]}\nfolder: out/{job}/{current}/{values}\n";

    /// <summary>A job with sections that the examples do without.</summary>
    private const string Full =
        "job: full\nsources:\n  - {file: a.dxf, unit: 1 um, layers: [a, b], rotate: 90 deg, offset: [1 um, 2 um], join_gap: 1 nm}\ngrid: 0.1 nm\nchord_error: 2 nm\n"
        + "fracture: {direction: automatic, largest_figure: 10 um, sliver: 5 nm, smoothing: 1 nm, dose_overlap: highest}\nbias: {distance: 5 nm, corners: round}\n"
        + "order: {by: short travel, trials: 100}\noperations:\n  - {layer: c, from: a without b grown by 10 nm}\nwrite: [c, a]\ncorrect: {target: edge, tolerance: 1 %, iterations: 20}\n"
        + "layers:\n  - {layer: a, dose_factor: 1.2, fill: {strategy: inward contours, line_pitch: 2 codes}}\nkeep: {figures: a.figures, binary: yes}\noutputs: [{file: a.stream, format: stream}]\n";

    private static string Manifest { get; } =
        "manifest: 1\njob: a\nmachine: b\ngrid_pm: 100\nreach_um: [38, 38]\nfields: 1\nmove_s: 1\nwrite_s: 2\ntotal_s: 3\nvisits:\n"
        + "  - {field: r1c1, centre_um: [0, 0], cell_um: [-38, -38, 38, 38], stage_um: [0, 0], figures: 3, move_s: 0, write_s: 2, files: [{file: a.stream, content: stream, bytes: 3, sha256: 00}]}\n";

    private static IEnumerable<string> Files(string pattern) => Repository.Files("examples", pattern).Select(Encoding.UTF8.GetString);

    /// <summary>A pattern that leaves the folder would list the machine.</summary>
    private static void ReadBatch(string text)
    {
        if (!Outside().IsMatch(text))
        {
            BatchFile.Parse(text, Repository.PathOf("examples/humidity-sensor/series.yaml"));
        }
    }

    private static FuzzTarget Target(string name, string[] seeds, Action<string> parse) => new(
        name,
        [.. seeds.Select(Encoding.UTF8.GetBytes)],
        TextMutations.All,
        (input, _) => parse(YamlText.Load(new MemoryStream(input), name))) { Words = Marks };

    [GeneratedRegex(@"(?<![\w*?}])/|\.\.|\\")]
    private static partial Regex Outside();
}
