using System.Reflection;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Provenance;
using PatternCompiler.Jobs.Report;
using PatternCompiler.Limits;
using PatternCompiler.Prediction.Compare;
using PatternCompiler.Reports;

namespace PatternCompiler.Tests.Jobs;

/// <summary>Where outputs come from: whole, the same each time, and comparable.</summary>
public sealed class ProvenanceTests
{
    private const string Chip = "layout 1\nunit um\nlayer pads\nrect on pads from (0, 0) to (3, 2)\n";

    /// <summary>Read-only properties are derived from others, but for those of the types that have converters of their own.</summary>
    [Fact]
    public void Every_setting_is_in_it()
    {
        var seen = new HashSet<Type>();
        var open = new Queue<Type>([typeof(Job), typeof(Machine), typeof(Resist)]);
        while (open.TryDequeue(out Type? type))
        {
            JsonTypeInfo contract = SettingsJson.Default.GetTypeInfo(type) ?? throw new InvalidOperationException($"{type} has no contract.");
            if (contract.Kind == JsonTypeInfoKind.Enumerable)
            {
                open.Enqueue(contract.ElementType!);
            }

            if (contract.Kind != JsonTypeInfoKind.Object || !seen.Add(type))
            {
                continue;
            }

            string[] known = [.. contract.Properties.Where(property => property.Get is not null).Select(property => property.Name)];
            foreach (PropertyInfo property in type.GetProperties(BindingFlags.Public | BindingFlags.Instance).Where(property => property.CanWrite))
            {
                Assert.Contains(JsonNamingPolicy.CamelCase.ConvertName(property.Name), known);
            }

            foreach (JsonPropertyInfo property in contract.Properties.Where(property => property.Get is not null))
            {
                open.Enqueue(property.PropertyType);
            }
        }

        Assert.Contains(typeof(Blanker), seen);
        Assert.Contains(typeof(Stage), seen);
        Assert.Contains(typeof(SpreadTerm), seen);
    }

    [Fact]
    public void The_same_build_gives_the_same_bytes_wherever_it_lies()
    {
        MemoryFiles here = Build("", 100e-12), there = Build("/home/lab/chips/", 100e-12);
        Assert.Equal(Encoding.UTF8.GetString(here.Written["chip.json"]), Encoding.UTF8.GetString(there.Written["/home/lab/chips/chip.json"]));
    }

    [Fact]
    public void It_names_inputs_outputs_and_settings_as_they_held()
    {
        MemoryFiles files = Build("", 100e-12);
        using JsonDocument json = JsonDocument.Parse(files.Written["chip.json"]);
        JsonElement root = json.RootElement;
        Assert.Equal("1.2.3", root.GetProperty("toolVersion").GetString());
        JsonElement input = root.GetProperty("inputs").EnumerateArray().Single(file => file.GetProperty("role").GetString() == "drawing");
        Assert.Equal(("chip.layout", "drawing", (long)Chip.Length, HashOf(Encoding.UTF8.GetBytes(Chip))), FileOf(input));
        JsonElement output = Assert.Single(root.GetProperty("outputs").EnumerateArray());
        byte[] stream = files.Written["chip.stream"];
        Assert.Equal(("chip.stream", "stream", (long)stream.Length, HashOf(stream)), FileOf(output));

        // The job says nothing of its fill: what holds is the built-in job's.
        JsonElement settings = root.GetProperty("settings");
        Assert.Equal(DefaultFiles.Job.Fill.LinePitch!.Value.Nanometres, settings.GetProperty("job").GetProperty("fill").GetProperty("linePitch").GetProperty("nanometres").GetDouble());
        Assert.Equal(100e-12, settings.GetProperty("machine").GetProperty("beam").GetProperty("currentAmperes").GetDouble());
        Assert.Equal(JsonValueKind.Object, root.GetProperty("results").GetProperty("estimate").ValueKind);
        Assert.Equal(
            $"{{\"machine\":\"{SettingsDigests.Of(DefaultFiles.Machine with { Beam = DefaultFiles.Machine.Beam with { CurrentAmperes = 100e-12 } })}\",\"exposure\":\"{SettingsDigests.Of(DefaultFiles.Process)}\"}}",
            JsonSerializer.Serialize(root.GetProperty("madeFor")));
        Assert.Equal((1, 101), (root.GetProperty("results").GetProperty("figures").GetInt32(), root.GetProperty("results").GetProperty("strokes").GetInt32()));
        Assert.Equal(1, root.GetProperty("provenance").GetInt32());
        Assert.Equal(["job", "machine", "process"], settings.EnumerateObject().Select(part => part.Name));
    }

    [Fact]
    public void A_file_that_is_gone_by_now_is_listed_without_content()
    {
        string gone = Path.Combine(Path.GetTempPath(), "no such folder of patternc", "job.yaml");
        ReportFile file = Assert.Single(SettingsHashes.Of(DefaultFiles.Job with { File = gone, MachinePath = null, ProcessPath = null }));
        Assert.Equal((gone, 0L, (string?)null), (file.Name, file.Bytes, file.Hash));
    }

    [Fact]
    public void What_has_changed_between_two_builds_is_listed_by_key()
    {
        byte[] first = Build("", 100e-12).Written["chip.json"], second = Build("", 50e-12).Written["chip.json"];
        DocumentComparison comparison = ProvenanceComparer.Compare(new MemoryStream(first), "a", new MemoryStream(second), "b");
        Assert.False(comparison.AreEqual(new CompareOptions()));
        Assert.Contains(new ItemDifference("settings.machine.beam.currentAmperes", "1E-10", "5E-11"), comparison.Headers);
        Assert.Contains(comparison.Headers, item => item.Place == "madeFor.machine");
        Assert.Contains(comparison.Headers, item => item.Place == "results.estimate.time.exposingSeconds");
        Assert.Contains(comparison.Headers, item => item.Place.StartsWith("outputs[", StringComparison.Ordinal) && item.Place.EndsWith(".stream].sha256", StringComparison.Ordinal));
        Assert.DoesNotContain(comparison.Headers, item => item.Place.StartsWith("settings.", StringComparison.Ordinal) && item.Place != "settings.machine.beam.currentAmperes");
        Assert.True(ProvenanceComparer.Compare(new MemoryStream(first), "a", new MemoryStream(first), "b").AreEqual(new CompareOptions()));
    }

    [Fact]
    public void What_was_cut_short_is_an_error_with_its_place()
    {
        byte[] whole = Build("", 100e-12).Written["chip.json"];
        Assert.True(ProvenanceComparer.Recognises(whole.AsSpan(0, 40)));
        CompileException fault = Assert.Throws<CompileException>(
            () => ProvenanceComparer.Compare(new MemoryStream(whole), "a", new MemoryStream(whole[..60]), "b.json"));
        Assert.Equal($"b.json:4:{60 - Array.LastIndexOf(whole, (byte)'\n', 59)}: error PC3191: this starts as a provenance file but is no JSON; build the job again with --provenance", fault.Message);
    }

    [Theory]
    [InlineData("{\"provenance\":1}", true)]
    [InlineData(" \r\n\t{ \t\r\n\"provenance\"", true)]
    [InlineData("{\"provenances\":1}", false)]
    [InlineData("[\"provenance\"]", false)]
    [InlineData("{\"a\":1,\"provenance\":1}", false)]
    [InlineData("", false)]
    public void It_is_known_by_its_first_key(string text, bool isKnown) => Assert.Equal(isKnown, ProvenanceComparer.Recognises(Encoding.UTF8.GetBytes(text)));

    /// <summary>Settings that have a form of their own.</summary>
    [Fact]
    public void Tables_limits_and_places_are_written_whole()
    {
        Machine machine = DefaultFiles.Machine with { Deflection = DefaultFiles.Machine.Deflection with { LinearityX = new CodeLinearity([(0, 0.5), (9, -0.25)]) } };
        string text = JsonSerializer.Serialize(machine, SettingsJson.Default.Machine);
        Assert.Contains("\"linearityX\":[0,9,0.5,8.75]", text, StringComparison.Ordinal);
        Job job = JobFile.Parse("job: a\nsources: [{file: a.layout, offset: [1 um, -2.5 um]}]\nfields: {size: 80 um, margin: 1 um, first: [3 um, -4.5 um]}\nlimits: {copies: 77}\n", null);
        using JsonDocument json = JsonDocument.Parse(JsonSerializer.Serialize(job, SettingsJson.Default.Job));
        JsonElement limits = json.RootElement.GetProperty("limits");
        Assert.Equal(WorkKind.All.Select(kind => (kind.Key, kind == WorkKind.Copies ? 77 : kind.Start)), limits.EnumerateObject().Select(limit => (limit.Name, limit.Value.GetInt64())));
        Assert.Equal("[3000,-4500]", json.RootElement.GetProperty("fields").GetProperty("options").GetProperty("firstCentreNanometres").GetRawText());
    }

    [Fact]
    public void Calibrations_doses_and_strategies_are_written_by_kind_and_number()
    {
        using JsonDocument straight = JsonDocument.Parse(JsonSerializer.Serialize(
            DefaultFiles.Machine with { Deflection = DefaultFiles.Machine.Deflection with { Calibration = new AffineCalibration(1, 2, 3, 4, 5, 6) } }, SettingsJson.Default.Machine));
        JsonElement calibration = straight.RootElement.GetProperty("deflection").GetProperty("calibration");
        Assert.Equal(["kind", "numbers"], calibration.EnumerateObject().Select(property => property.Name));
        Assert.Equal("AffineCalibration", calibration.GetProperty("kind").GetString());
        Assert.Equal(new AffineCalibration(1, 2, 3, 4, 5, 6).Numbers, calibration.GetProperty("numbers").EnumerateArray().Select(number => number.GetDouble()));
        Job job = JobFile.Parse("job: a\nfill: {strategy: one-way raster}\nlayers: [{layer: fine, dose_factor: 1.25}]\n", null);
        string text = JsonSerializer.Serialize(job, SettingsJson.Default.Job);
        Assert.Contains("\"strategy\":\"OneWayRaster\"", text, StringComparison.Ordinal);
        Assert.Contains("\"doseFactor\":1.25", text, StringComparison.Ordinal);
    }

    private static (string?, string?, long, string?) FileOf(JsonElement file) => (
        file.GetProperty("name").GetString(), file.GetProperty("role").GetString(), file.GetProperty("bytes").GetInt64(), file.GetProperty("sha256").GetString());

    private static string HashOf(byte[] content) => Convert.ToHexStringLower(SHA256.HashData(content));

    private static MemoryFiles Build(string folder, double currentAmperes)
    {
        MemoryFiles files = new MemoryFiles().With(folder + "chip.layout", Chip);
        var settings = new BuildSettings(
            JobFile.Parse("job: chip\nsources: [chip.layout]\noutputs: [{file: chip.stream, format: stream}]\nprovenance: chip.json\n", folder + "job.yaml"),
            DefaultFiles.Machine with { Beam = DefaultFiles.Machine.Beam with { CurrentAmperes = currentAmperes } },
            DefaultFiles.Process)
        {
            ToolVersion = "1.2.3",
        };
        BuildRunner.Run(settings, files, new DiagnosticSink(), CancellationToken.None);
        return files;
    }
}
