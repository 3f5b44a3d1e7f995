using System.Collections.Immutable;
using CsCheck;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Batch;

namespace PatternCompiler.Tests.Jobs.Batch;

/// <summary>In which numbers the builds of a batch differ.</summary>
public sealed class VaryingSettingsTests
{
    /// <summary>
    /// Any builds with any settings: what is constant or not in all builds is never found; everything else is found once, as a leader or with
    /// the leader that changes in the same builds; those with more values come first.
    /// </summary>
    [Fact]
    public void Everything_that_varies_is_found_once_and_nothing_else()
    {
        // A value of 3 says that a build does not have the setting.
        Gen.Int[0, 3].Array[1, 6].Array[1, 7].Sample(table =>
        {
            int builds = table.Length;
            int keys = table.Min(row => row.Length);
            ImmutableArray<VaryingSetting> found = Find(table);
            int[] varying = [.. Enumerable.Range(0, keys).Where(key => table.All(row => row[key] != 3) && table.Select(row => row[key]).Distinct().Count() > 1)];
            Assert.Equal(varying.Select(key => PatternOf(table, key)).Distinct().Order(), found.Select(setting => setting.Pattern).Order());
            Assert.All(found, setting =>
            {
                Assert.Equal(builds, setting.Numbers.Length);
                Assert.True(setting.Count > 1);
                Assert.Equal(setting.Pattern, VaryingSettings.PatternOf(setting.Numbers));
                Assert.Equal(setting.Numbers.Select(number => $"{number} nm"), setting.Texts);
            });
            Assert.Equal(found.Select(setting => setting.Count).OrderDescending(), found.Select(setting => setting.Count));
        }, iter: Iterations.Usually(100));

        static string PatternOf(int[][] table, int key) => VaryingSettings.PatternOf(table.Select(row => row[key]));
    }

    [Fact]
    public void What_changes_together_is_one_and_copies_are_not_named()
    {
        var varying = new VaryingSettings(2);
        varying.Add([Setting("job.layers.a.fill.pitch", 1), Setting("job.fill.pitch", 1), Setting("process.dose", 5), Setting("process.constant", 7)]);
        varying.Add([Setting("job.layers.a.fill.pitch", 2), Setting("job.fill.pitch", 2), Setting("process.dose", 6), Setting("process.constant", 7)]);
        VaryingSetting only = Assert.Single(varying.Find());
        Assert.Equal("process.dose", only.Name);
        Assert.Equal("job.fill.pitch", Assert.Single(only.Together));
    }

    /// <summary>Names and units as the settings' records give them; the values are converted by hand: 2.8 C/m² are 280 µC/cm².</summary>
    [Theory]
    [InlineData("process.areaDoseCoulombsPerSquareMetre", 2.8, "area dose", "280 µC/cm²")]
    [InlineData("job.fill.linePitch.nanometres", 25, "fill line pitch", "25 nm")]
    [InlineData("job.fill.linePitch.codes", 6, "fill line pitch", "6 codes")]
    [InlineData("job.layers.PADS.doseFactor", 1.25, "layers PADS dose factor", "1.25")]
    [InlineData("machine.beam.currentAmperes", 2e-10, "beam current", "200 pA")]
    [InlineData("machine.beam.energyElectronvolts", 30000, "beam energy", "30 keV")]
    [InlineData("machine.deflection.fieldWidthNanometres", 100000, "deflection field width", "100 µm")]
    [InlineData("machine.clock.hertz", 1e7, "clock", "10 MHz")]
    [InlineData("machine.dac.bits", 16, "dac bits", "16")]
    [InlineData("process.lineDoseCoulombsPerMetre", 1e-7, "line dose", "1000 pC/cm")]
    [InlineData("process.dotDoseCoulombs", 1.5e-14, "dot dose", "15 fC")]
    [InlineData("machine.settle.slewNanometresPerSecond", 4e7, "settle slew", "40 mm/s")]
    [InlineData("machine.link.bytesPerSecond", 3e6, "link", "3 MB/s")]
    [InlineData("machine.link.bufferBytes", 65536, "link buffer", "65.536 kB")]
    [InlineData("job.gridPicometres", 100, "grid", "0.1 nm")]
    [InlineData("machine.settle.fixedSeconds", 1.5e-5, "settle fixed", "15 µs")]
    [InlineData("machine.dac.lowestVolts", -10, "dac lowest", "−10 V")]
    [InlineData("job.fill.angleDegrees", 45, "fill angle", "45 deg")]
    [InlineData("machine.clock.shortestDwellTicks", 5, "clock shortest dwell", "5 ticks")]
    public void A_setting_has_a_name_and_a_unit(string key, double value, string name, string text)
    {
        NumericSetting setting = NumericSettings.Read(key, value);
        Assert.Equal((name, text), (setting.Name, setting.Text.Replace('\u00A0', ' ')));
    }

    [Fact]
    public void All_settings_of_a_build_are_there_and_no_place_of_a_file_is()
    {
        var settings = new BuildSettings(JobFile.Parse("{job: j, sources: [{file: a.layout, parameters: {gap: 0.5 um, count: 3, word: abc}}]}", "j.yaml"), DefaultFiles.Machine, DefaultFiles.Process);
        List<NumericSetting> found = NumericSettings.Of(settings);
        Assert.Equal(found.Count, found.Select(setting => setting.Key).Distinct().Count());
        Assert.All(found, setting => Assert.True(double.IsFinite(setting.Number)));
        Assert.Contains(found, setting => setting.Name == "area dose");
        Assert.Contains(found, setting => setting.Name == "beam current");
        Assert.Equal([0.5e-6, 3], found.Where(setting => setting.Name.StartsWith("parameter ", StringComparison.Ordinal)).OrderBy(setting => setting.Number).Select(setting => setting.Number));
        Assert.DoesNotContain(found, setting => setting.Key.Contains("limits", StringComparison.Ordinal) || setting.Key.Contains(".line", StringComparison.Ordinal) && setting.Name == "line");
    }

    private static ImmutableArray<VaryingSetting> Find(int[][] table)
    {
        var varying = new VaryingSettings(table.Length);
        foreach (int[] row in table)
        {
            varying.Add(row.Select((value, key) => Setting($"key{key}", value)).Where(setting => setting.Number != 3));
        }

        return varying.Find();
    }

    private static NumericSetting Setting(string key, double value) => new(key, key, value, $"{value} nm");
}
