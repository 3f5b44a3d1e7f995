using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Report;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Jobs;

/// <summary>A job's 'alignment': what is read, what it does to places and codes, and what is refused.</summary>
public sealed class AlignmentSectionTests
{
    private static readonly Gen<double> Part = Gen.Double[-45_000, 45_000];

    [Theory]
    [InlineData("{offset: [1.9 um, -0.4 um]}", 1, 0, 1900, 0, 1, -400)]
    [InlineData("{rotation: 90 deg}", 0, -1, 0, 1, 0, 0)]
    [InlineData("{scale: 1.25}", 1.25, 0, 0, 0, 1.25, 0)]
    [InlineData("{scale: [1.25, 0.5]}", 1.25, 0, 0, 0, 0.5, 0)]
    [InlineData("{scale: [1, 2], skew: 10 %}", 1, 0.2, 0, 0, 2, 0)]
    [InlineData("{rotation: 90 deg, scale: [2, 1], skew: 0.25, offset: [1 nm, 2 nm]}", 0, -1, 1, 2, 0.25, 2)]
    public void Values_make_a_map(string yaml, double xx, double xy, double offsetX, double yx, double yy, double offsetY)
    {
        LayerPlacement placement = JobFile.Parse($"job: a\nalignment: {yaml}\n", null).Alignment!.Layers.Whole!;
        double[] expected = [xx, xy, offsetX, yx, yy, offsetY];
        foreach ((double wanted, double found) in expected.Zip(placement.Numbers))
        {
            Assert.Equal(wanted, found, 1e-12);
        }

        Assert.Equal(placement.Numbers.Select(n => Math.Round(n, 9) + 0.0), LayerPlacement.Of(
            placement.OffsetXNanometres, placement.OffsetYNanometres, placement.RotationDegrees, placement.ScaleX, placement.ScaleY, placement.Skew).Numbers.Select(n => Math.Round(n, 9) + 0.0));
    }

    [Theory]
    [InlineData("{}", "'alignment' says nothing")]
    [InlineData("{scale: 3}", "'alignment.scale' must be from 0.5 to 2, but it is 3")]
    [InlineData("{scale: [1, 1, 1]}", "'alignment.scale' must be one number or a list of two, along x and y, but it has 3")]
    [InlineData("{skew: 80 %}", "'alignment.skew' must be from -0.5 to 0.5, but it is 80 %")]
    [InlineData("{rotation: 400 deg}", "'alignment.rotation' must be from -360 to 360 deg, but it is 400 deg")]
    [InlineData("{turn: 1 deg}", "unknown key 'turn' in 'alignment'")]
    [InlineData("{fields: {r01c01: {scale: 1}}}", "'alignment.fields' places write fields, and the job has none")]
    public void What_makes_no_sense_is_refused(string yaml, string message) =>
        Assert.Contains(message, Assert.Throws<CompileException>(() => JobFile.Parse($"job: a\nalignment: {yaml}\n", null)).Diagnostic.Message, StringComparison.Ordinal);

    [Fact]
    public void A_file_is_read_and_known_as_one_of_the_settings()
    {
        string folder = Directory.CreateTempSubdirectory().FullName;
        string job = Path.Combine(folder, "job.yaml");
        File.WriteAllText(Path.Combine(folder, "marks.yaml"), "# a comment\nalignment:\n  offset: [5 nm, 6 nm]\n");
        File.WriteAllText(job, "job: a\nalignment: marks.yaml\n");
        Job read = JobFile.Read(job);
        Assert.Equal((5.0, 6.0), (read.Alignment!.Layers.Whole!.OffsetXNanometres, read.Alignment.Layers.Whole.OffsetYNanometres));
        Assert.Equal([(job, "job"), (Path.Combine(folder, "marks.yaml"), "alignment")], read.SettingsFiles);
        File.WriteAllText(Path.Combine(folder, "marks.yaml"), "offset: [5 nm, 6 nm]\n");
        Assert.Contains("alignment", Assert.Throws<CompileException>(() => JobFile.Read(job)).Diagnostic.Message, StringComparison.Ordinal);
        Directory.Delete(folder, recursive: true);
    }

    /// <summary>A placed drawing asks for the codes that its places, moved, ask for without; in an undistorted field and in a bent one. And back.</summary>
    [Theory]
    [InlineData("{xx: 1.01, xy: -0.02, offset_x: 40 nm}")]
    [InlineData("{polynomial: {order: 2, half_field: 60 um, x: [20 nm, 60.4 um, -90 nm, 200 nm, 50 nm, -80 nm], y: [-10 nm, 150 nm, 60.3 um, 40 nm, -60 nm, 90 nm]}}")]
    public void Codes_are_those_of_the_place_on_the_layer_below(string calibration)
    {
        Machine machine = MachineFile.Parse(
            $"machine: m\ndac: {{bits: 16, lowest: -10 V, highest: 10 V, coding: straight}}\ndeflection: {{field: 120 um, invert_y: yes, calibration: {calibration}}}\n"
            + "clock: {rate: 10 MHz, shortest_dwell: 5 ticks, longest_dwell: 65535 ticks}\nblanker: none\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 1 MB/s, buffer: 64 KiB}\n",
            null);
        var settings = new BuildSettings(JobFile.Parse("job: a\nalignment: {offset: [1.9 um, -0.4 um], rotation: 0.8 deg, scale: 1.004, skew: 0.2 %}\n", null), machine, DefaultFiles.Process);
        LayerPlacement placement = settings.Job.Alignment!.Layers.Whole!;
        var plain = new DacMapping(machine.Dac, machine.Deflection);
        var placed = new DacMapping(settings.Machine.Dac, settings.Machine.Deflection);
        Gen.Select(Part, Part).Sample((x, y) =>
        {
            (double landX, double landY) = placement.Land(x, y);
            (double codeX, double codeY) = placed.CodesAt((long)(x * 1e6), (long)(y * 1e6));
            (double wantedX, double wantedY) = plain.CodesAt((long)(landX * 1e6), (long)(landY * 1e6));

            // Places are whole femtometres, and a bent field is solved to as much: 5e-7 of a code, both ways.
            Assert.Equal(wantedX, codeX, 1e-5);
            Assert.Equal(wantedY, codeY, 1e-5);
            (double backX, double backY) = placed.PlaceOf(codeX, codeY);
            Assert.Equal(x, backX, 1e-4);
            Assert.Equal(y, backY, 1e-4);
        }, iter: Iterations.Usually(100));
        Assert.NotEqual(SettingsDigests.Of(machine), SettingsDigests.Of(settings.Machine));
        Assert.Equal(SettingsDigests.Of(settings.Machine), SettingsDigests.Of((settings with { Machine = settings.Machine }).Machine));
    }

    /// <summary>Write fields are placed from their own centres: together they lie as the whole does.</summary>
    [Fact]
    public void A_field_is_placed_as_the_whole_is()
    {
        var settings = new BuildSettings(
            JobFile.Parse("job: a\nfields: {size: 80 um, margin: 4 um}\nalignment: {offset: [1.9 um, -0.4 um], rotation: 0.8 deg, scale: 1.004, skew: 0.2 %}\n", null), DefaultFiles.Machine, DefaultFiles.Process);
        LayerPlacement whole = settings.Job.Alignment!.Layers.Whole!;
        Assert.True(settings.NeedsField);
        BuildSettings there = settings.In("r02c03", (300_000, -100_000));
        Assert.False(there.NeedsField);
        (double x, double y) = there.Machine.Deflection.Placement!.Land(10_000, 20_000);
        (double wantedX, double wantedY) = whole.Land(310_000, -80_000);
        Assert.Equal(wantedX - 300_000, x, 1e-6);
        Assert.Equal(wantedY + 100_000, y, 1e-6);

        // One digest for all fields: they are of one exposure.
        Assert.Equal(SettingsDigests.Of(settings.Machine), SettingsDigests.Of(there.Machine));
        var position = new StagePosition(null, 0, 0, 0, 0, 0, 0);
        Assert.Same(settings, position.Of(settings));
    }

    [Fact]
    public void Fields_have_their_own_placements_or_are_refused()
    {
        Job job = JobFile.Parse("job: a\nfields: {size: 80 um, margin: 4 um}\nalignment: {fields: {r01c01: {offset: [5 nm, 6 nm]}}}\n", null);
        var settings = new BuildSettings(job, DefaultFiles.Machine, DefaultFiles.Process);
        Assert.Equal((5.0, 6.0), (settings.In("r01c01", (300_000, 0)).Machine.Deflection.Placement!.OffsetXNanometres, settings.In("r01c01", (0, 0)).Machine.Deflection.Placement!.OffsetYNanometres));
        Assert.Equal(
            "'alignment.fields' does not say how write field r01c02 lies on the layer below",
            Assert.Throws<CompileException>(() => settings.In("r01c02", (0, 0)).Machine).Diagnostic.Message);
    }

    [Fact]
    public void The_report_says_where_the_layer_is_placed()
    {
        Job job = JobFile.Parse("job: a\nalignment: {offset: [1.9 um, -0.4 um], rotation: 0.8 deg, scale: [1.004, 0.997], skew: 0.2 %}\n", null);
        Assert.Contains(("Placed on the layer below", "moved by (1.9 µm, -400 nm), turned by 0.8 deg, scaled by 1.004 and 0.997, skewed by 0.002"), JobFacts.Of(job));
        job = JobFile.Parse("job: a\nfields: {size: 80 um, margin: 4 um}\nalignment: {fields: {r01c01: {offset: [5 nm, 6 nm]}}}\n", null);
        Assert.Contains(("Field r01c01 on the layer below", "moved by (5 nm, 6 nm), turned by 0 deg, scaled by 1 and 1, skewed by 0"), JobFacts.Of(job));
    }

    [Fact]
    public void The_beam_waits_at_the_machines_place()
    {
        var settings = new BuildSettings(
            JobFile.Parse("job: a\nalignment: {offset: [1 um, 2 um]}\n", null), DefaultFiles.Machine with { ParkNanometres = (10_000, 10_000) }, DefaultFiles.Process);
        Assert.Equal((9_000_000_000L, 8_000_000_000L), StageOptions.Park(settings.Machine));
    }
}
