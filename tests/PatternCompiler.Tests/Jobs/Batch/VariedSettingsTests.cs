using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Batch;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Tests.Jobs.Batch;

/// <summary>Each value that a batch can vary, put into settings; and how losses of a build are kept.</summary>
public sealed class VariedSettingsTests
{
    private static readonly BuildSettings Settings = new(
        JobFile.Parse(
            "job: chip\nsources:\n  - {file: a.layout, parameters: {pitch: 1 um}}\n  - {file: b.layout, parameters: {pitch: 1 um, n: '2'}}\n  - c.layout\nlayers:\n  - {layer: pads, fill: {line_pitch: 7 nm, point_step: 3 codes, strategy: raster}}\n", "job.yaml"),
        DefaultFiles.Machine,
        DefaultFiles.Process with { AreaDoseCoulombsPerSquareMetre = 2, LineDoseCoulombsPerMetre = 3, DotChargeCoulombs = 5 });

    public static TheoryData<string, string, string, Func<BuildSettings, object>, object> Values => new()
    {
        { "dose", "123 uC/cm2", "123uC-cm2", s => Doses(s), (1.23, 3.0, 5.0) },
        { "line_dose", "4 nC/cm", "4nC-cm", s => Doses(s), (2.0, 4e-7, 5.0) },
        { "dot_charge", "6 fC", "6fC", s => Doses(s), (2.0, 3.0, 6e-15) },
        { "dose_factor", "150 %", "150p", s => Doses(s), (3.0, 4.5, 7.5) },
        { "current", "0.3 nA", "0.3nA", s => s.Machine.Beam.CurrentAmperes, 3e-10 },
        { "field", "81 um", "81um", s => (s.Machine.Deflection.FieldWidthNanometres, s.Machine.Deflection.FieldHeightNanometres), (81_000.0, 81_000.0) },
        { "line_pitch", "9 codes", "9codes", s => Fills(s, fill => fill.LinePitch), Twice(Spacing.FromCodes(9)) },
        { "point_step", "11 nm", "11nm", s => Fills(s, fill => fill.PointStep), Twice(Spacing.FromNanometres(11)) },
        { "strategy", "inward contours", "inwardcontours", s => Fills(s, fill => fill.Strategy), Twice(FillStrategy.Of("inward contours")) },
        { "placement", "weighted", "weighted", s => Fills(s, fill => fill.Placement), Twice(CodePlacement.Weighted) },
        { "machine", "m/fast.yaml", "fast", s => (s.Job.MachinePath, s.Job.ProcessPath), ("m/fast.yaml", null as string) },
        { "process", "../p.yaml", "p", s => (s.Job.MachinePath, s.Job.ProcessPath), (null as string, "../p.yaml") },
    };

    [Theory]
    [MemberData(nameof(Values))]
    public void A_value_goes_where_it_belongs_and_to_every_layer(string key, string text, string label, Func<BuildSettings, object> pick, object expected)
    {
        VariedValue value = VariedSettings.Read(key, Node(text), new JobPaths(null));
        Assert.Equal((key, text, label, key is "machine" or "process"), (value.Key, value.Text, value.Label, VariedSettings.IsFile(value)));
        Assert.NotEqual(expected, pick(Settings));
        Assert.Equal(expected, Rounded(pick(value.Change(Settings))));
        Assert.Contains(key, VariedSettings.Keys);
    }

    [Fact]
    public void A_parameter_goes_to_the_sources_that_name_it_or_to_the_only_one()
    {
        Assert.Equal(["pitch=2 um", "n=2,pitch=2 um", ""], Parameters("pitch", "2 um", Settings));
        Assert.Equal(["pitch=1 um", "n=3,pitch=1 um", ""], Parameters("n", "3", Settings));
        BuildSettings only = Settings with { Job = Settings.Job with { Sources = [Settings.Job.Sources[2]] } };
        Assert.Equal(["w=4"], Parameters("w", "4", only));
        Assert.Equal(
            "error PC6003: the batch varies the parameter 'w', but no source of the job 'chip' names it; add 'parameters: {w: …}' to the source that has it",
            Assert.Throws<CompileException>(() => Parameters("w", "4", Settings)).Message);

        static IEnumerable<string> Parameters(string name, string text, BuildSettings settings) => VariedSettings
            .ReadParameter(name, Node($"'{text}'")).Change(settings).Job.Sources
            .Select(source => string.Join(',', source.Reading.Parameters.OrderBy(p => p.Key, StringComparer.Ordinal).Select(p => $"{p.Key}={p.Value}")));
    }

    /// <summary>One line, whatever the names hold.</summary>
    [Fact]
    public void A_loss_is_kept_as_one_line()
    {
        var loss = new Diagnostic(OasisCodes.Lost, Severity.Warning, "one\n\"two\"", new SourcePlace("a\n.oas", 3, 4, "cell é"), "fix");
        string line = LossLine.Print(loss);
        Assert.Equal($$"""["{{OasisCodes.Lost.Id}}","one\n\u0022two\u0022","fix","a\n.oas",3,4,"cell \u00E9"]""", line);
        Assert.Equal(loss, LossLine.Parse(line));
        Diagnostic bare = new(OasisCodes.Lost, Severity.Warning, "m", default, null);
        Assert.Equal(bare, LossLine.Parse(LossLine.Print(bare)));
    }

    [Theory]
    [InlineData("")]
    [InlineData("[")]
    [InlineData("{}")]
    [InlineData("[\"PC0001\"]")]
    [InlineData("[\"nothing\",\"m\",null,null,0,0,null]")]
    [InlineData("[1,\"m\",null,null,0,0,null]")]
    [InlineData("[\"PC0505\",null,null,null,0,0,null]")]
    [InlineData("[\"PC0505\",\"m\",null,null,0.5,0,null]")]
    public void A_damaged_line_is_none(string line) => Assert.Null(LossLine.Parse(line));

    private static (double, double, double) Doses(BuildSettings s) => (s.Process.AreaDoseCoulombsPerSquareMetre, s.Process.LineDoseCoulombsPerMetre, s.Process.DotChargeCoulombs);

    // Products of decimal units differ in the last digit.
    private static object Rounded(object value) => value switch
    {
        (double a, double b, double c) => (Short(a), Short(b), Short(c)),
        double number => Short(number),
        _ => value,
    };

    private static double Short(double number) => double.Parse(number.ToString("G12", System.Globalization.CultureInfo.InvariantCulture), System.Globalization.CultureInfo.InvariantCulture);

    private static string Fills<T>(BuildSettings s, Func<FillSettings, T> pick) => $"{pick(s.Job.Fill)} {pick(Assert.Single(s.Job.Layers).Fill)}";

    private static string Twice<T>(T value) => $"{value} {value}";

    private static YamlNode Node(string text) => YamlText.Parse($"a: {text}", "batch.yaml").AsMapping().Entries[0].Value;
}
