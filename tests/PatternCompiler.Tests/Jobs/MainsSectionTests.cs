using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

/// <summary>Sections of a machine file about the mains: what is refused, and that the commented example is right.</summary>
public sealed class MainsSectionTests
{
    private const string Plain = "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}\ndeflection: {field: 100 um}\nclock: {rate: 10 MHz, shortest_dwell: 2 ticks, longest_dwell: 1000 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 1 MB/s, buffer: 4 KiB}\n";

    [Theory]
    [InlineData("trigger: {frequency: 0 Hz}", "m.yaml:8:22: error PC0115: 'trigger.frequency' must be above zero, but it is 0 Hz")]
    [InlineData("trigger: {frequency: 2 MHz}", "m.yaml:8:22: error PC0115: 'trigger.frequency' must be from 0.1 Hz to 1 MHz, but it is 2 MHz; look for a wrong unit")]
    [InlineData("trigger: {frequency: 50 Hz, longest_wait: 20 ms}", "m.yaml:8:43: error PC0115: 'trigger.longest_wait' must be longer than the 20 ms from edge to edge, but it is 20 ms; allow some periods")]
    [InlineData("trigger: {frequency: 50 Hz, longest_wait: 2000 s}", "m.yaml:8:43: error PC0115: 'trigger.longest_wait' must be at most 7 min 09 s, 2^32 - 1 ticks, but it is 2000 s; allow some periods")]
    [InlineData("trigger: {longest_wait: 1 s}", "m.yaml:8:10: error PC0113: 'trigger' has no 'frequency'; add 'frequency:' with its value")]
    [InlineData("hum: {x: 5 nm}", "m.yaml:8:6: error PC0113: 'hum' has no 'frequency'; add 'frequency:' with its value")]
    [InlineData("hum: {frequency: 50 Hz, x: -5 nm}", "m.yaml:8:28: error PC0115: 'hum.x' cannot be negative, but it is -5 nm")]
    [InlineData("hum: {frequency: 50 Hz, x_phase: 5 deg}", "m.yaml:8:34: error PC0115: 'hum.x_phase' stands without an amplitude; say how far the hum swings")]
    [InlineData("hum: {frequency: 50 Hz, y: 5 nm, y_phase: [1 deg, 2 deg]}", "m.yaml:8:43: error PC0115: 'hum.y_phase' has 2 phases for 1 amplitude; give one phase for each amplitude")]
    public void Errors_name_place_key_and_remedy(string line, string expected) =>
        Assert.Equal(expected, Assert.Throws<CompileException>(() => MachineFile.Parse(Plain + line + "\n", "m.yaml")).Message.Split('\n')[0]);

    [Fact]
    public void Without_a_blanker_nothing_may_wait() => Assert.Equal(
        "m.yaml:8:10: error PC0115: 'trigger' needs a blanker: while an edge is waited for, the beam would expose the place where it waits; leave it out, or describe the blanker",
        Assert.Throws<CompileException>(() => MachineFile.Parse(
            Plain.Replace("{active: high}", "none", StringComparison.Ordinal) + "trigger: {frequency: 50 Hz}\n", "m.yaml")).Message.Split('\n')[0]);

    [Fact]
    public void The_example_of_the_built_in_file_is_read()
    {
        string text = DefaultFiles.MachineText;
        foreach (string line in text.Split('\n').Where(line => line.StartsWith("# trigger:", StringComparison.Ordinal) || line.StartsWith("# hum:", StringComparison.Ordinal)
            || (line.StartsWith("#   ", StringComparison.Ordinal) && (line.Contains("longest_wait", StringComparison.Ordinal) || line.Contains("phase", StringComparison.Ordinal) || line.Contains("frequency", StringComparison.Ordinal) || line.Contains(" x: 20", StringComparison.Ordinal) || line.Contains(" y: 5", StringComparison.Ordinal)))))
        {
            text = text.Replace("\n" + line, "\n" + line[2..], StringComparison.Ordinal);
        }

        Machine machine = MachineFile.Parse(text, null);
        Assert.Equal(new TriggerInput(50, 0.1), machine.Trigger);
        Assert.Equal((50.0, new HumWave(20, 30), new HumWave(5, 120)), (machine.Hum!.Hertz, machine.Hum.X.Single(), machine.Hum.Y.Single()));
    }

    /// <summary>Sines from their definition: at an edge the phase, a quarter of a period later a quarter of a turn more.</summary>
    [Fact]
    public void Hum_is_a_sum_of_sines()
    {
        var hum = new Hum(50, [new HumWave(20, 30), new HumWave(4, 90)], []);
        Assert.Equal(20 * 0.5 + 4, hum.At(0).X, 1e-9);
        Assert.Equal(20 * Math.Sqrt(3) / 2 - 4, hum.At(5e-3).X, 1e-9);
        Assert.Equal(0, hum.At(5e-3).Y);
    }
}
