using System.Text.Json;

namespace PatternCompiler.EndToEnd;

/// <summary>Hum of 40 nm at 50 Hz, and what waiting for the mains does about it, with the real executable from drawing to print.</summary>
public sealed class MainsTests
{
    private const string Machine = """
        machine: bench
        dac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}
        deflection: {field: 100 um}
        settle: {fixed: 20 us, time_constant: 5 us}
        clock: {rate: 10 MHz, shortest_dwell: 5 ticks, longest_dwell: 16777215 ticks}
        blanker: {active: high, off_delay: 1 us, on_delay: 1 us}
        beam: {current: 100 pA, spot: 20 nm, energy: 30 keV}
        link: {rate: 1 MB/s, buffer: 64 KiB}
        trigger: {frequency: 50 Hz, longest_wait: 100 ms}
        hum: {frequency: 50 Hz, x: 40 nm, y: 40 nm}

        """;

    private const string Layout = """
        layout 1
        unit um
        layer pads
        rect on pads at (0, 0) size (0.4, 1)
        rect on pads at (0.8, 0) size (0.4, 1)
        rect on pads at (1.6, 0) size (1, 0.4)
        rect on pads at (1.6, 0.8) size (1, 1)

        """;

    /// <summary>Edges move by less than 10 nm; without a trigger by several tens. The dose is that of the drawing in every case.</summary>
    [Theory]
    [InlineData("", 30, 60, 20, 40)]
    [InlineData(", trigger: row", 0, 10, 0, 3)]
    [InlineData(", trigger: row, trigger_delay: 19.8 ms", 0, 3, 0, 3)]
    [InlineData(", trigger: row, trigger_delay: 5 ms, trigger_phases: spread, passes: 2", 0, 10, 39, 40)]
    public void Edges_move_so_far(string fill, double least, double most, double leastBlur, double mostBlur)
    {
        using WorkFolder folder = With(fill);
        folder.Run("build", "job.yaml", "-q").Expect(0);
        using JsonDocument estimate = JsonDocument.Parse(folder.Run("estimate", "job.yaml", "--json", "-q").Expect(0).Output);
        using JsonDocument print = JsonDocument.Parse(folder.Run(
            "simulate", "a.stream", "--job", "job.yaml", "--against", "a.layout", "--pixel", "4 nm", "--mains-phase", "90 deg", "--json", "-q").Expect(0).Output);
        JsonElement hum = print.RootElement.GetProperty("hum");
        Assert.InRange(Math.Abs(hum.GetProperty("worst").GetProperty("nanometres").GetDouble()), least, most);
        Assert.InRange(hum.GetProperty("charge").GetProperty("deviationXNanometres").GetDouble(), leastBlur, mostBlur);
        Assert.True(hum.GetProperty("withoutHum").GetProperty("threeSigmaNanometres").GetDouble() < 3);
        Assert.True(hum.GetProperty("places").GetInt64() > 500);

        // Two passes are as much as one.
        Assert.InRange(print.RootElement.GetProperty("chargeCoulombs").GetDouble(), 10.85e-12 * 0.99, 10.85e-12 * 1.01);
        Assert.InRange(estimate.RootElement.GetProperty("figureCharge").GetProperty("worstRelative").GetDouble(), -0.01, 0.01);
        if (fill.Length > 0)
        {
            JsonElement waits = estimate.RootElement.GetProperty("triggers");
            Assert.True(waits.GetProperty("longestUnitSeconds").GetDouble() < 0.5e-3);
            Assert.InRange(waits.GetProperty("expectedSeconds").GetDouble(), 0, waits.GetProperty("mostSeconds").GetDouble());
        }
    }

    [Fact]
    public void A_chain_gives_the_bytes_of_a_build_and_decode_gives_back_the_records()
    {
        using WorkFolder folder = With(", trigger: figure, trigger_phases: spread, passes: 3");
        folder.Run("build", "job.yaml", "-q").Expect(0);
        folder.Run("fracture", "a.layout", "--job", "job.yaml", "-o", "a.figures", "-q").Expect(0);
        folder.Run("correct", "a.figures", "--job", "job.yaml", "-o", "corrected.figures", "-q").Expect(0);
        folder.Run("fill", "corrected.figures", "--job", "job.yaml", "-o", "a.strokes", "-q").Expect(0);
        folder.Run("scale", "a.strokes", "--job", "job.yaml", "-o", "a.records", "-q").Expect(0);
        folder.Run("emit", "a.records", "--job", "job.yaml", "-o", "chain.stream", "-q").Expect(0);
        folder.Run("decode", "a.stream", "-o", "decoded.records", "-q").Expect(0);
        Assert.Equal(folder.Read("a.stream"), folder.Read("chain.stream"));
        Assert.Equal(folder.Read("a.records"), folder.Read("decoded.records"));
        Assert.Equal((2, 3), (folder.Read("a.stream")[7], folder.Read("a.stream")[13]));
        folder.Run("preview", "a.stream", "--job", "job.yaml", "--traces", "-o", "traces.svg", "-q").Expect(0);
        Assert.StartsWith("error PC2060: the records wait for the trigger input", folder.Run("emit", "a.records", "--job", "job.yaml", "--format", "gcode", "-o", "a.gcode", "-q").Expect(1).Errors, StringComparison.Ordinal);
        Assert.False(File.Exists(folder["a.gcode"]));
    }

    [Fact]
    public void A_machine_without_the_input_is_refused()
    {
        using WorkFolder folder = With(", trigger: row");
        File.WriteAllText(folder["machine.yaml"], Machine.Replace("trigger:", "# trigger:", StringComparison.Ordinal));
        Assert.Contains(
            "error PC1410: the strokes wait for the trigger input, but the machine 'bench' has none; add 'trigger' to the machine file if the controller has such an input, or fill again with 'fill.trigger' at none\n",
            folder.Run("build", "job.yaml", "-q").Expect(1).Errors, StringComparison.Ordinal);
        folder.Run("fracture", "a.layout", "--job", "job.yaml", "-o", "a.figures", "-q").Expect(0);
        Assert.Contains(
            "error PC1220: layer pads is to wait for the trigger input, but the machine has none; add 'trigger' to the machine file if the controller has such an input, or set 'fill.trigger' to none\n",
            folder.Run("fill", "a.figures", "--job", "job.yaml", "-o", "a.strokes", "-q").Expect(1).Errors, StringComparison.Ordinal);
        Assert.False(File.Exists(folder["a.stream"]));
    }

    /// <summary>Displacements of an edge every 1.3 ms, with a drift: what went in comes out, as a section of a machine file.</summary>
    [Fact]
    public void Hum_is_fitted_and_drawn()
    {
        using var folder = new WorkFolder();
        string rows = string.Concat(Enumerable.Range(0, 100).Select(i => FormattableString.Invariant(
            $"{1.3 * i:0.0##},{25 * Math.Sin(2 * Math.PI * 0.0013 * 50 * i + 0.5) + 0.05 * i + 0.3 * (i * 37 % 11 - 5):0.00}\n")));
        File.WriteAllText(folder["edge.csv"], "time [ms], x [nm]\n" + rows);
        string fragment = folder.Run("fit", "hum", "edge.csv", "--harmonics", "1", "--plot", "hum.svg").Expect(0).Output;
        Assert.Contains("\nhum:\n  frequency: 50 Hz\n  x: [2", fragment, StringComparison.Ordinal);
        Assert.Contains("hum of the mains", File.ReadAllText(folder["hum.svg"]), StringComparison.Ordinal);
        File.WriteAllText(folder["lines.csv"], "position [um], y [nm]\n" + rows);
        Assert.Contains("add --speed: beam current / line dose", folder.Run("fit", "hum", "lines.csv").Expect(1).Errors, StringComparison.Ordinal);
        Assert.Contains("  y: [2", folder.Run("fit", "hum", "lines.csv", "--speed", "1 um/ms", "--fit-frequency", "--harmonics", "1").Expect(0).Output, StringComparison.Ordinal);
    }

    private static WorkFolder With(string fill)
    {
        var folder = new WorkFolder();
        File.WriteAllText(folder["machine.yaml"], Machine);
        File.WriteAllText(folder["a.layout"], Layout);
        File.WriteAllText(folder["job.yaml"], $$"""
            job: a
            machine: machine.yaml
            sources: [a.layout]
            correct: {target: edge}
            fill: {direction: x, line_pitch: 10 nm{{fill}}}
            outputs: [{file: a.stream, format: stream}]

            """);
        return folder;
    }
}
