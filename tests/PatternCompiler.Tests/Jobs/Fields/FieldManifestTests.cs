using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Tests.Jobs.Fields;

public sealed class FieldManifestTests
{
    private static readonly WriteField First = new(0, 0, "r01c01", new GridPoint(-450_001, 5), new GridBox(-950_001, -499_995, 0, 500_005));
    private static readonly WriteField Second = new(0, 1, "r01c02", new GridPoint(450_000, 5), new GridBox(0, -499_995, 950_000, 500_005));

    private static readonly FieldManifest Manifest = new(
        "chip \"A\"",
        "writer: 1",
        new FieldPlan(100, 500_000, 500_000, [First, Second]),
        [
            new FieldVisit(First, 12_345_678.9, -0.04, 17, 0, 1.25, [new FieldFile("a-r01c01.stream", "stream", 12, "00ff"), new FieldFile("a-r01c01.wav", "wave", 13, "01ff")]),
            new FieldVisit(Second, 0, 1000, 1, 3.5, 2, []),
        ]);

    private const string Text = """
        # Write fields in the order of the stage's visits. Lengths in micrometres, times in seconds. stage_um: what the stage
        # reads; centre_um: the pattern's place under the undeflected beam; cell_um: left, bottom, right and top between seams.
        manifest: 1
        job: "chip \"A\""
        machine: "writer: 1"
        grid_pm: 100
        reach_um: [50, 50]
        fields: 2
        move_s: 3.5
        write_s: 3.25
        total_s: 6.75
        visits:
          - {visit: 1, field: r01c01, stage_um: [12345.6789, 0], centre_um: [-45.0001, 0.0005], cell_um: [-95.0001, -49.9995, 0, 50.0005], figures: 17, move_s: 0, write_s: 1.25, files: [
              {file: "a-r01c01.stream", content: stream, bytes: 12, sha256: "00ff"},
              {file: "a-r01c01.wav", content: wave, bytes: 13, sha256: "01ff"}]}
          - {visit: 2, field: r01c02, stage_um: [0, 1], centre_um: [45, 0.0005], cell_um: [0, -49.9995, 95, 50.0005], figures: 1, move_s: 3.5, write_s: 2}

        """;

    [Fact]
    public void The_text_is_plain_and_stable()
    {
        var target = new MemoryStream();
        FieldManifestText.Write(Manifest, target);
        Assert.Equal(Text, Encoding.UTF8.GetString(target.ToArray()));
        Assert.True(FieldManifestFile.Recognises(target.ToArray()));
    }

    [Fact]
    public void What_an_operator_needs_besides_the_reading_is_listed_and_read()
    {
        FieldVisit visit = Manifest.Visits[1] with { Details = new StopDetails((-10_000, 0.04), 10_021_349.9, (250.04, -0.06)) };
        var target = new MemoryStream();
        FieldManifestText.Write(Manifest with { Visits = [visit] }, target);
        string text = Encoding.UTF8.GetString(target.ToArray());
        Assert.Contains("stage_um: [0, 1], from_um: [-10, 0], focus_mm: 10.0213, deflected_um: [0.25, -0.0001], centre_um:", text, StringComparison.Ordinal);
        Assert.Equal(new StopDetails((-10_000, 0), 10_021_300, (250, -0.1)), FieldManifestFile.Parse(text, "m.yaml").Visits[0].Details);
    }

    [Fact]
    public void What_is_read_prints_the_same_again()
    {
        FieldManifest read = FieldManifestFile.Parse(Text, "m.yaml");
        Assert.Equal(Manifest.Plan.Fields.AsEnumerable(), read.Plan.Fields.AsEnumerable());
        var target = new MemoryStream();
        FieldManifestText.Write(read, target);
        Assert.Equal(Text, Encoding.UTF8.GetString(target.ToArray()));
    }

    [Theory]
    [InlineData("manifest: 1", "manifest: 2", "m.yaml:3:11: error PC0115: the manifest has version 2, but only version 1 is known; divide the pattern again with this program")]
    [InlineData("reach_um: [50, 50]", "reach_um: [50]", "m.yaml:7:11: error PC0114: 'reach_um' must be a list of 2 numbers, but it has 1; divide the pattern again")]
    [InlineData("reach_um: [50, 50]", "reach_um: [50, -50]", "m.yaml:7:11: error PC0115: 'reach_um' must be above zero in both directions; divide the pattern again")]
    [InlineData("reach_um: [50, 50]", "reach_um: [120000, 50]", "m.yaml:7:11: error PC0115: 'reach_um' is beyond the largest coordinate")]
    [InlineData("field: r01c02", "field: left", "m.yaml:16:23: error PC0115: 'visits[2].field' must name a row and a column, but it is 'left'; write for example r01c02")]
    [InlineData("centre_um: [-45.0001, 0.0005]", "centre_um: [-300000, 0.0005]", "m.yaml:13:69: error PC0115: 'visits[1].centre_um' is beyond the largest coordinate")]
    [InlineData("centre_um: [45, 0.0005]", "centre_um: [45, 300000]", "m.yaml:16:60: error PC0115: 'visits[2].centre_um' is beyond the largest coordinate")]
    [InlineData("grid_pm: 100", "grid_pm: 0", "m.yaml:6:10: error PC0115: 'grid_pm' must be a whole number of picometres above zero")]
    [InlineData("grid_pm: 100", "grid_pm: -100", "m.yaml:6:10: error PC0115: 'grid_pm' must be a whole number of picometres above zero")]
    [InlineData("reach_um: [50, 50]", "reach_um: [-50, 50]", "m.yaml:7:11: error PC0115: 'reach_um' must be above zero in both directions; divide the pattern again")]
    [InlineData("reach_um: [50, 50]", "reach_um: [50, 0]", "m.yaml:7:11: error PC0115: 'reach_um' must be above zero in both directions; divide the pattern again")]
    [InlineData("grid_pm: 100", "grid_pm: 100.5", "m.yaml:6:10: error PC0115: 'grid_pm' must be a whole number of picometres above zero")]
    [InlineData("grid_pm: 100", "grid_pm: 1e300", "m.yaml:6:10: error PC0115: 'grid_pm' must be a whole number of picometres above zero")]
    [InlineData("grid_pm: 100", "grid_pm: 0.5", "m.yaml:6:10: error PC0115: 'grid_pm' must be a whole number of picometres above zero")]
    [InlineData("figures: 17", "figures: 17, colour: 3", "m.yaml:13:145: error PC0111: unknown key 'colour' in 'visits[1]'; known here: visit, field, centre_um, cell_um, stage_um, figures, move_s, write_s, files, from_um, focus_mm, deflected_um")]
    public void Errors_name_place_key_and_remedy(string from, string to, string expected)
    {
        Assert.Contains(from, Text, StringComparison.Ordinal);
        Assert.Equal(
            expected,
            Assert.Throws<CompileException>(() => FieldManifestFile.Parse(Text.Replace(from, to, StringComparison.Ordinal), "m.yaml")).Message.Split('\n')[0]);
    }

    [Theory]
    [InlineData("# Write fields in the order", true)]
    [InlineData("manifest: 1", true)]
    [InlineData("# Write", false)]
    [InlineData("manifes", false)]
    [InlineData("job: manifest: 1", false)]
    public void A_manifest_is_known_by_its_first_line_or_key(string text, bool isManifest) => Assert.Equal(isManifest, FieldManifestFile.Recognises(Encoding.UTF8.GetBytes(text)));

    [Theory]
    [InlineData("r01c02", true)]
    [InlineData("r1c1", true)]
    [InlineData("r120c7", true)]
    [InlineData("c01r02", false)]
    [InlineData("01c02", false)]
    [InlineData("x01c02", false)]
    [InlineData("rc02", false)]
    [InlineData("r01", false)]
    [InlineData("r01c", false)]
    [InlineData("c02", false)]
    [InlineData("r00c01", false)]
    [InlineData("r01c00", false)]
    [InlineData("r-1c01", false)]
    [InlineData("r01c-1", false)]
    [InlineData("r01c02x", false)]
    [InlineData("r 1c02", false)]
    public void A_field_is_named_by_row_and_column(string name, bool isName)
    {
        string? message = Record.Exception(() => FieldManifestFile.Parse(Text.Replace("field: r01c02", $"field: {name}", StringComparison.Ordinal), "m.yaml"))?.Message.Split('\n')[0];
        Assert.Equal(isName ? null : $"m.yaml:16:23: error PC0115: 'visits[2].field' must name a row and a column, but it is '{name}'; write for example r01c02", message);
    }

    [Theory]
    [InlineData("out/chip.stream", "out/chip-r01c02.stream", "out/chip-fields.yaml")]
    [InlineData("chip", "chip-r01c02", "chip-fields.yaml")]
    [InlineData("a.b/c.d.npy", "a.b/c.d-r01c02.npy", "a.b/c.d-fields.yaml")]
    public void Files_are_named_after_their_fields(string path, string expected, string manifest)
    {
        Assert.Equal(expected, FieldNames.Of(path, Second));
        Assert.Equal(manifest, FieldNames.ManifestBeside(path));
    }
}
