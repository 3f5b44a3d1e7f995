using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

/// <summary>
/// Every limit of a setting: the last values that are taken, and the first ones beyond, which are refused with the name of the key. Fields, axes and
/// delays differ, so that one cannot stand for another.
/// </summary>
public sealed class SettingLimitsTests
{
    private const string Machine = EveryMachineSettingTests.Plain + "\n";

    private const string Process = """
        process: p
        dose: {area: 300 uC/cm2, line: 1.5 nC/cm, dot: 20 fC}
        resist: {tone: positive, onset: 100 uC/cm2, clearing: 150 uC/cm2}
        spread: {forward: 59 nm, backscatter: 4 um, ratio: 0.74}

        """;

    /// <summary>What is replaced, by what (@ stands for the value), the key that a message names, values that are taken, values that are not.</summary>
    private static readonly (string From, string To, string Key, string[] Taken, string[] Refused)[] OfMachines =
    [
        ("bits: 16", "bits: @", "dac.bits", ["8", "24"], ["7", "25"]),
        ("highest: 10 V", "highest: @", "dac.highest", ["-9.999 V"], ["-10 V"]),
        ("straight}", "straight, fine_bits: @, coarse_settle: 1 us}", "dac.fine_bits", ["1", "15"], ["0", "16"]),
        ("straight}", "straight, fine_bits: 8, coarse_settle: @}", "dac.coarse_settle", ["0 s", "3600 s"], ["-1 ns", "3600.001 s"]),
        ("shortest_dwell: 2 ticks", "shortest_dwell: @", "clock.shortest_dwell", ["1 ticks", "1000 ticks", "0.5 us", "999.5 us"], ["0 ticks", "0 us", "1.5 ticks", "1001 ticks", "1000.5 us"]),
        ("longest_dwell: 1000 ticks", "longest_dwell: @", "clock.longest_dwell", ["2 ticks", "2.9 us", "1099511627776 ticks"], ["1 ticks", "1.9 us", "1000.5 ticks", "1099511627777 ticks"]),
        ("active: high", "active: high, on_delay: @", "blanker.on_delay", ["0 s", "1 s"], ["-1 ns", "1.000001 s"]),
        ("active: high", "active: high, off_delay: @", "blanker.off_delay", ["0 s", "1 s"], ["-1 ns", "1.000001 s"]),
        ("active: high", "active: high, shortest_pulse: @", "blanker.shortest_pulse", ["0 s", "1 s"], ["-1 ns", "1.000001 s"]),
        ("active: high", "active: high, scan_enable_delay: @", "blanker.scan_enable_delay", ["0 s", "3600 s"], ["-1 ns", "3600.001 s"]),
        ("active: high", "active: high, scan_disable_delay: @", "blanker.scan_disable_delay", ["0 s", "3600 s"], ["-1 ns", "3600.001 s"]),

        // From 10 to 90 % an exponential edge takes ln 9 = 2.19722457 of its time constant.
        ("active: high", "active: high, on_delay: 10 us, off_delay: 20 us, rise_time: @", "blanker.rise_time", ["0 s", "21.9722 us"], ["21.9723 us"]),
        ("active: high", "active: high, on_delay: 20 us, off_delay: 10 us, fall_time: @", "blanker.fall_time", ["0 s", "21.9722 us"], ["21.9723 us"]),
        ("active: high", "active: high, leak: @", "blanker.leak", ["0 %", "100 %"], ["-0.1 %", "100.1 %"]),
        ("active: high", "active: high, leak: 1 %, leak_spot: @", "blanker.leak_spot", ["200 nm", "1 mm"], ["199.9 nm", "1.0001 mm"]),
        ("current: 100 pA", "current: @", "beam.current", ["1 fA"], ["0 pA", "-1 pA"]),
        ("spot: 20 nm", "spot: @", "beam.spot", ["1 pm"], ["0 nm", "-1 nm"]),
        ("energy: 30 keV", "energy: @", "beam.energy", ["1 eV"], ["0 eV", "-1 keV"]),
        ("buffer: 4 KiB", "buffer: @", "link.buffer", ["1 B", "1125899906842624 B"], ["0 B", "0.5 B", "1125899906842625 B"]),
        ("buffer: 4 KiB", "blocks: @", "link.blocks", ["1", "16777216"], ["0", "16777217"]),
        ("buffer: 4 KiB", "buffer: 1052 B, blocks: @", "link.blocks", ["2"], ["3"]),
        ("buffer: 4 KiB", "buffer: 1051 B, blocks: @", "link.blocks", ["1"], ["2"]),
        ("buffer: 4 KiB", "buffer: 4 KiB, latency: @", "link.latency", ["0 s", "10 s"], ["-1 ns", "10.001 s"]),
        ("fixed: 1 us", "fixed: @", "settle.fixed", ["0 s", "3600 s"], ["-1 ns", "3600.001 s"]),
        ("fixed: 1 us", "time_constant: @", "settle.time_constant", ["0 s", "3600 s"], ["-1 ns", "3600.001 s"]),
        ("fixed: 1 us", "response_x: [[1, @]], response_y: [[1, 5 us]]", "settle.response_x[1][2]", ["10 s"], ["0 s", "10.001 s"]),
        ("fixed: 1 us", "response_x: [[1, 5 us]], response_y: [[1, @]]", "settle.response_y[1][2]", ["10 s"], ["0 s", "10.001 s"]),
        ("fixed: 1 us", "response_x: [[@, 9 us]], response_y: [[1, 5 us]]", "settle.response_x[1][1]", ["2, 5 us], [-1", "-2, 5 us], [2, 6 us], [1"], ["2.001, 5 us], [-1.001", "-2.001, 5 us], [2, 6 us], [1.001"]),
        ("fixed: 1 us", "response_x: [[1, 9 us]], response_y: [[@, 5 us]]", "settle.response_y", ["0.25, 1 us], [0.25, 2 us], [0.25, 3 us], [0.25"], ["0.2, 1 us], [0.2, 2 us], [0.2, 3 us], [0.2, 4 us], [0.2"]),
        ("fixed: 1 us", "response_x: [[0.5, 9 us], [@, 5 us]], response_y: [[1, 5 us]]", "settle.response_x", ["0.5000000005", "0.4999999995"], ["0.500000002", "0.499999998"]),
        ("fixed: 1 us", "hysteresis_x: @", "settle.hysteresis_x", ["0 nm", "49.999 um"], ["-1 nm", "50 um"]),
        ("fixed: 1 us", "hysteresis_y: @", "settle.hysteresis_y", ["0 nm", "39.999 um"], ["-1 nm", "40 um"]),
        ("fixed: 1 us", "hysteresis_x: 300 nm, hysteresis_y: 200 nm, approach: @", "settle.approach", ["300 nm"], ["299.9 nm"]),
        ("fixed: 1 us", "hysteresis_x: 200 nm, hysteresis_y: 300 nm, approach: @", "settle.approach", ["300 nm"], ["299.9 nm"]),
        ("fixed: 1 us", "conditioning: {loops: @, size: 70 um}", "settle.conditioning.loops", ["1", "1000"], ["0", "1001"]),
        ("fixed: 1 us", "conditioning: {loops: 3, size: @}", "settle.conditioning.size", ["79 um", "[99 um, 79 um]"], ["81 um", "[99 um, 81 um]", "[101 um, 79 um]", "[0 nm, 79 um]", "[99 um, 0 nm]", "[-9 um, 79 um]"]),
        ("settle: {", "trigger: {frequency: @}\nsettle: {", "trigger.frequency", ["0.1 Hz", "1 MHz"], ["0.0999 Hz", "1.0001 MHz"]),
        ("settle: {", "trigger: {frequency: 50 Hz, longest_wait: @}\nsettle: {", "trigger.longest_wait", ["20.001 ms", "4294.967295 s"], ["20 ms", "4294.967296 s"]),
        ("settle: {", "hum: {frequency: @, x: 5 nm}\nsettle: {", "hum.frequency", ["0.1 Hz", "1 MHz"], ["0.0999 Hz", "1.0001 MHz"]),
        ("settle: {", "hum: {frequency: 50 Hz, x: [1 nm, 1 nm, 1 nm, 1 nm, 1 nm, 1 nm, 1 nm, 1 nm, 1 nm, @]}\nsettle: {", "hum.x", ["0 nm"], ["1 nm, 1 nm"]),
        ("settle: {", "hum: {frequency: 50 Hz, x: 1 nm, y: [2 nm, 3 nm], y_phase: [@]}\nsettle: {", "hum.y_phase", ["1 deg", "1 deg, 2 deg"], ["1 deg, 2 deg, 3 deg"]),
        ("80 um}", "80 um, crosstalk: {x_from_y: @}}", "deflection.crosstalk.x_from_y", ["0.5", "-0.5"], ["0.501", "-0.501"]),
        ("80 um}", "80 um, crosstalk: {y_from_x: @}}", "deflection.crosstalk.y_from_x", ["0.5", "-0.5"], ["0.501", "-0.501"]),
        ("80 um}", "80 um, usable_x: @}", "deflection.usable_x", ["[0, 65535]", "[32767, 32768]"], ["[-1, 65535]", "[0, 65536]", "[32768, 65535]", "[0, 32767]", "[0, 9, 65535]"]),
        ("80 um}", "80 um, usable_y: @}", "deflection.usable_y", ["[0, 65535]", "[32767, 32768]"], ["[-1, 65535]", "[0, 65536]", "[32768, 65535]", "[0, 32767]", "[0]"]),
        ("80 um}", "80 um, linearity_x: @}", "deflection.linearity_x", ["[[0, 0], [65535, 0.25]]"], ["[[-1, 0], [5, 0.25]]", "[[0, 0], [65536, 0.25]]", "[[0, 0], [5.5, 0.25]]", "[[0, 0], [5, 0.25, 1]]"]),
        ("80 um}", "80 um, linearity_y: @}", "deflection.linearity_y", ["[[0, 0], [65535, 0.25]]"], ["[[-1, 0], [5, 0.25]]", "[[0, 0], [65536, 0.25]]", "[[0, 0], [5.5, 0.25]]", "[[0, 0], [5]]"]),
        ("80 um}", "80 um, calibration: {polynomial: {order: @, half_field: 50 um, x: [0 nm, 50 um, 0 um], y: [0 nm, 0 um, 50 um]}}}", "deflection.calibration.polynomial", ["1"], ["0", "2", "4"]),
        ("80 um}", "80 um, calibration: {grid: {columns: @, first: [-50 um, -40 um], step: [100 um, 80 um], landings: [[-50000, -40000], [50000, -40000], [-50000, 40000], [50000, 40000]]}}}", "deflection.calibration.grid", ["2, rows: 2"], ["1, rows: 4", "4, rows: 1", "2, rows: 3", "3, rows: 2"]),
        ("80 um}", "80 um, calibration: {grid: {columns: 2, rows: 2, first: [-50 um, -40 um], step: [@], landings: [[-50000, -40000], [50000, -40000], [-50000, 40000], [50000, 40000]]}}}", "deflection.calibration.grid.step", ["100 um, 80 um"], ["0 um, 80 um", "100 um, 0 um", "-100 um, 80 um", "100 um, -80 um"]),
        ("settle: {", "park: [@]\nsettle: {", "park", ["49.9 um, 39.9 um", "-50 um, -40 um"], ["50.1 um, 0 um", "0 um, 40.1 um", "-50.1 um, 0 um", "0 um, -40.1 um"]),
        ("settle: {", "motion: {dwell_step: @}\nsettle: {", "motion.dwell_step", ["1 ps", "1 s"], ["0.999 ps", "1.001 s"]),
        ("settle: {", "stage: {settle: 1 s, backlash: @}\nsettle: {", "stage.backlash", ["[0 nm, 1 mm]", "[1 mm, 0 nm]"], ["[1.0001 mm, 0 nm]", "[0 nm, 1.0001 mm]", "[-1 nm, 0 nm]", "[0 nm, -1 nm]"]),
        ("settle: {", "stage: {settle: 1 s, approach: @}\nsettle: {", "stage.approach", ["[1 mm, -1 mm]", "[-1 mm, 1 mm]"], ["[1.0001 mm, 0 nm]", "[0 nm, 1.0001 mm]", "[-1.0001 mm, 0 nm]", "[0 nm, -1.0001 mm]"]),
        ("settle: {", "stage: {settle: 1 s, height: {focus: @, scale_per_mm: 1 %}}\nsettle: {", "stage.height.focus", ["1000 mm", "-1000 mm"], ["1000.1 mm", "-1000.1 mm"]),
        ("settle: {", "stage: {settle: 1 s, height: {focus: 1 mm, scale_per_mm: @}}\nsettle: {", "stage.height.scale_per_mm", ["200 %", "-200 %"], ["200.1 %", "-200.1 %"]),
        ("settle: {", "stage: {settle: 1 s, range_x: @}\nsettle: {", "stage.range_x", ["[-1 mm, -0.999 mm]"], ["[1 mm, 1 mm]", "[1 mm, 0 mm]"]),
        ("settle: {", "stage: {settle: 1 s, range_y: @}\nsettle: {", "stage.range_y", ["[-1 mm, -0.999 mm]"], ["[1 mm, 1 mm]", "[1 mm, 0 mm]"]),
        ("settle: {", "stage: {settle: 1 s, rotation: @}\nsettle: {", "stage.rotation", ["360 deg", "-360 deg"], ["360.1 deg", "-360.1 deg"]),
        ("settle: {", "stage: {settle: 1 s, scale: @}\nsettle: {", "stage.scale", ["0.5", "2", "[0.5, 2]", "[2, 0.5]"], ["0.499", "2.001", "[0.499, 1]", "[1, 2.001]", "[1, 1, 1]"]),
        ("settle: {", "stage: {settle: 1 s, skew: @}\nsettle: {", "stage.skew", ["0.5", "-0.5"], ["0.501", "-0.501"]),
    ];

    private static readonly (string From, string To, string Key, string[] Taken, string[] Refused)[] OfProcesses =
    [
        ("forward: 59 nm", "forward: @", "spread.forward", ["1 pm", "3.999 um"], ["0 nm", "4.001 um"]),
        ("backscatter: 4 um", "backscatter: @", "spread.backscatter", ["1 mm"], ["0 nm", "1.001 mm"]),
        ("ratio: 0.74", "ratio: 0.74, middle: @, middle_ratio: 0.1", "spread.middle", ["60 nm", "1 mm"], ["0 nm", "1.001 mm"]),
        ("ratio: 0.74", "ratio: 0.74, tail: @, tail_ratio: 0.1", "spread.tail", ["60 nm", "1 mm"], ["0 nm", "1.001 mm"]),
    ];

    private static readonly (string To, string Key, string[] Taken, string[] Refused)[] OfJobs =
    [
        ("grid: @", "grid", ["1 pm", "1 um"], ["0.5 pm", "1.5 pm", "1.000001 um"]),
        ("fill: {passes: @}", "fill.passes", ["1", "1000"], ["0", "1001"]),
        ("fill: {interlace: @}", "fill.interlace", ["1", "1000"], ["0", "1001"]),
        ("fill: {trigger: figure, trigger_delay: @}", "fill.trigger_delay", ["0 s", "10 s"], ["-1 ns", "10.001 s"]),
        ("fill: {line_pitch: @}", "fill.line_pitch", ["1 codes", "16777216 codes", "1 pm"], ["0 codes", "1.5 codes", "16777217 codes", "0 nm"]),
        ("fill: {point_step: @}", "fill.point_step", ["1 codes", "16777216 codes", "1 pm"], ["0 codes", "1.5 codes", "16777217 codes", "0 nm"]),
        ("order: {trials: @}", "order.trials", ["0", "2147483647"], ["-1", "2147483648"]),
        ("correct: {iterations: @}", "correct.iterations", ["1", "1000"], ["0", "1001"]),
        ("correct: {dose_classes: @}", "correct.dose_classes", ["0", "100000"], ["-1", "100001"]),
        ("correct: {tolerance: @}", "correct.tolerance", ["0.001 %", "99.9 %"], ["0 %", "100 %"]),
        ("limits: {figures: @}", "limits.figures", ["0", "1000000000000000"], ["-1", "1000000000000001"]),
        ("fields: {size: 90 um, margin: 1 um, seam: taper, seam_width: 1 um, taper_steps: @}", "fields.taper_steps", ["1", "1000"], ["0", "1001"]),
        ("run: {copies: [{dose: @}]}", "run.copies[1].dose", ["0.001", "1000"], ["0", "-1", "1000.001"]),
        ("run: {current_within: @}", "run.current_within", ["0.1 %", "99.9 %"], ["0 %", "100 %"]),
    ];

    [Fact]
    public void Limits_of_a_machine_are_those_that_are_told() => AssertLimits(
        OfMachines.Select(limit => (limit.From, limit.To, limit.Key, limit.Taken, limit.Refused)), Machine, text => MachineFile.Parse(text, "m.yaml"));

    [Fact]
    public void Limits_of_a_process_are_those_that_are_told() => AssertLimits(OfProcesses, Process, text => ProcessFile.Parse(text, "p.yaml"));

    [Fact]
    public void Limits_of_a_job_are_those_that_are_told() => AssertLimits(
        OfJobs.Select(limit => ("job: chip", "job: chip\n" + limit.To, limit.Key, limit.Taken, limit.Refused)), "job: chip\nsources: [chip.layout]\n", text => JobFile.Parse(text, "job.yaml"));

    /// <summary>A thousand copies and no more.</summary>
    [Fact]
    public void A_pattern_has_a_thousand_copies_at_most()
    {
        string With(int copies) => $"job: chip\nsources: [chip.layout]\nrun: {{copies: [{string.Join(", ", Enumerable.Range(0, copies).Select(i => $"{{at: [{i} um, 0 um]}}"))}]}}\n";
        Assert.Equal(1000, JobFile.Parse(With(1000), "job.yaml").Run!.Copies.Length);
        Assert.Contains("'run.copies' has 1001 copies; at most 1000 are taken", Assert.Throws<CompileException>(() => JobFile.Parse(With(1001), "job.yaml")).Message, StringComparison.Ordinal);
    }

    private static void AssertLimits(IEnumerable<(string From, string To, string Key, string[] Taken, string[] Refused)> limits, string plain, Action<string> parse)
    {
        List<string> wrong = [];
        foreach ((string from, string to, string key, string[] taken, string[] refused) in limits)
        {
            Assert.Single(plain.Split('\n'), line => line.Contains(from, StringComparison.Ordinal));
            foreach ((string value, bool isTaken) in taken.Select(value => (value, true)).Concat(refused.Select(value => (value, false))))
            {
                string? fault = Record.Exception(() => parse(plain.Replace(from, to.Replace("@", value, StringComparison.Ordinal), StringComparison.Ordinal)))?.Message;
                if (isTaken ? fault is not null : fault?.Contains($"'{key}", StringComparison.Ordinal) != true)
                {
                    wrong.Add($"{key} {value}: {fault ?? "is taken"}");
                }
            }
        }

        Assert.Empty(wrong);
    }
}
