using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model;

namespace PatternCompiler.Tests.Jobs;

/// <summary>Every key of a machine and a process file, one at a time: what is read, and that documents are told apart by it.</summary>
public sealed class EveryMachineSettingTests
{
    internal const string Plain = """
        machine: plain
        dac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}
        deflection: {field_width: 100 um, field_height: 80 um}
        settle: {fixed: 1 us}
        clock: {rate: 1 MHz, shortest_dwell: 2 ticks, longest_dwell: 1000 ticks}
        blanker: {active: high}
        beam: {current: 100 pA, spot: 20 nm, energy: 30 keV}
        link: {rate: 1 MB/s, buffer: 4 KiB}
        """;

    private static readonly (string From, string To, Func<Machine, object?> Value, object? Expected)[] Changes =
    [
        ("bits: 16", "bits: 8", m => m.Dac.Bits, 8),
        ("bits: 16", "bits: 24", m => m.Dac.Bits, 24),
        ("lowest: -10 V", "lowest: -9 V", m => (m.Dac.MinimumVolts, m.Dac.MaximumVolts), (-9.0, 10.0)),
        ("highest: 10 V", "highest: 9 V", m => (m.Dac.MinimumVolts, m.Dac.MaximumVolts), (-10.0, 9.0)),
        ("straight", "offset binary", m => m.Dac.Coding, DacCoding.OffsetBinary),
        ("straight", "two's complement", m => m.Dac.Coding, DacCoding.TwosComplement),
        ("straight", "straight, full_scale: last code", m => m.Dac.FullScale, DacFullScale.LastCode),
        ("straight", "straight, fine_bits: 10, coarse_settle: 3 s", m => m.Composite, new CompositeDac(10, 3)),
        ("straight", "straight, fine_bits: 11, coarse_settle: 3 s", m => m.Composite, new CompositeDac(11, 3)),
        ("straight", "straight, fine_bits: 10, coarse_settle: 4 s", m => m.Composite, new CompositeDac(10, 4)),
        ("field_width: 100 um", "field_width: 90 um", m => (m.Deflection.FieldWidthNanometres, m.Deflection.FieldHeightNanometres), (90_000.0, 80_000.0)),
        ("field_height: 80 um", "field_height: 70 um", m => (m.Deflection.FieldWidthNanometres, m.Deflection.FieldHeightNanometres), (100_000.0, 70_000.0)),
        ("80 um}", "80 um, invert_x: yes}", m => (m.Deflection.InvertX, m.Deflection.InvertY, m.Deflection.SwapAxes), (true, false, false)),
        ("80 um}", "80 um, invert_y: yes}", m => (m.Deflection.InvertX, m.Deflection.InvertY, m.Deflection.SwapAxes), (false, true, false)),
        ("80 um}", "80 um, swap_axes: yes}", m => (m.Deflection.InvertX, m.Deflection.InvertY, m.Deflection.SwapAxes), (false, false, true)),
        ("80 um}", "80 um, calibration: {xx: 1.5}}", m => m.Deflection.Calibration, new AffineCalibration(1.5, 0, 0, 0, 1, 0)),
        ("80 um}", "80 um, calibration: {affine: {xx: 2, xy: 0.5, yx: 0.25, yy: 4, offset_x: 31 nm, offset_y: 62 nm}}}", m => m.Deflection.Calibration, AffineCalibration.FromLanding(2, 0.5, 31, 0.25, 4, 62)),
        ("80 um}", "80 um, calibration: {xy: 0.5}}", m => m.Deflection.Calibration, new AffineCalibration(1, 0.5, 0, 0, 1, 0)),
        ("80 um}", "80 um, calibration: {yx: 0.5}}", m => m.Deflection.Calibration, new AffineCalibration(1, 0, 0, 0.5, 1, 0)),
        ("80 um}", "80 um, calibration: {yy: 1.5}}", m => m.Deflection.Calibration, new AffineCalibration(1, 0, 0, 0, 1.5, 0)),
        ("80 um}", "80 um, calibration: {offset_x: 5 nm}}", m => m.Deflection.Calibration, new AffineCalibration(1, 0, 5, 0, 1, 0)),
        ("80 um}", "80 um, calibration: {offset_y: 5 nm}}", m => m.Deflection.Calibration, new AffineCalibration(1, 0, 0, 0, 1, 5)),
        ("80 um}", "80 um, calibration: {polynomial: {order: 1, half_field: 50 um, x: [0 nm, 50 um, 1 um], y: [0 nm, 2 um, 40 um]}}}", m => m.Deflection.Calibration.KeepsLinesStraight, false),
        ("80 um}", "80 um, linearity_x: [[0, 0], [9, 0.25]]}", m => (m.Deflection.LinearityX is null, m.Deflection.LinearityY is null), (false, true)),
        ("80 um}", "80 um, linearity_y: [[0, 0], [9, 0.25]]}", m => (m.Deflection.LinearityX is null, m.Deflection.LinearityY is null), (true, false)),
        ("80 um}", "80 um, crosstalk: {x_from_y: 0.01}}", m => m.Deflection.Crosstalk, new OutputCrosstalk(0.01, 0)),
        ("80 um}", "80 um, crosstalk: {y_from_x: 0.01}}", m => m.Deflection.Crosstalk, new OutputCrosstalk(0, 0.01)),
        ("fixed: 1 us", "fixed: 2 s", m => m.Settle.FixedSeconds, 2.0),
        ("fixed: 1 us", "fixed: 1 us, time_constant: 2 s", m => m.Settle.TimeConstantSeconds, 2.0),
        ("fixed: 1 us", "fixed: 1 us, slew: 2 um/us", m => m.Settle.SlewNanometresPerSecond, 2e9),
        ("fixed: 1 us", "fixed: 1 us, cancel_lag: yes", m => m.Settle.CancelsLag, true),
        ("fixed: 1 us", "fixed: 1 us, table: [[1 um, 2 s], [2 um, 3 s]]", m => (m.Settle.Table[0], m.Settle.Table[1]), (new SettlePoint(1000, 2), new SettlePoint(2000, 3))),
        ("fixed: 1 us", "fixed: 1 us, table: [[1 um, 2 s], [2 um, 4 s]]", m => m.Settle.Table.Length, 2),
        ("fixed: 1 us", "fixed: 1 us, response_x: [[1, 2 s]], response_y: [[1, 3 s]]", m => (m.Settle.ResponseX[0], m.Settle.ResponseY[0], m.Settle.TimeConstantSeconds), (new SettlePart(1, 2), new SettlePart(1, 3), 3.0)),
        ("fixed: 1 us", "fixed: 1 us, response_x: [[0.75, 2 s], [0.25, 3 s]], response_y: [[1, 3 s]]", m => (m.Settle.ResponseX[0], m.Settle.ResponseX[1]), (new SettlePart(0.75, 2), new SettlePart(0.25, 3))),
        ("fixed: 1 us", "fixed: 1 us, response_x: [[1, 3 s]], response_y: [[1, 2 s]]", m => m.Settle.IsSum, true),
        ("fixed: 1 us", "fixed: 1 us, approach: 2 um", m => m.Settle.ApproachNanometres, 2000.0),
        ("fixed: 1 us", "fixed: 1 us, conditioning: {loops: 3, size: 70 um}", m => m.Settle.Conditioning, new ConditioningLoops(3, 70_000, 70_000)),
        ("fixed: 1 us", "fixed: 1 us, conditioning: {loops: 2, size: 70 um}", m => m.Settle.Conditioning, new ConditioningLoops(2, 70_000, 70_000)),
        ("fixed: 1 us", "fixed: 1 us, conditioning: {loops: 3, size: [70 um, 60 um]}", m => m.Settle.Conditioning, new ConditioningLoops(3, 70_000, 60_000)),
        ("rate: 1 MHz", "rate: 2 MHz", m => m.Clock.Hertz, 2e6),
        ("shortest_dwell: 2", "shortest_dwell: 1", m => m.Clock.MinimumDwellTicks, 1L),
        ("longest_dwell: 1000 ticks", "longest_dwell: 1099511627776 ticks", m => m.Clock.MaximumDwellTicks, 1L << 40),
        ("{active: high}", "none", m => (m.Blanker.IsPresent, m.Blanker.LeakFraction, m.Blanker.OffDelaySeconds, m.Blanker.OnDelaySeconds), (false, 1.0, 0.0, 0.0)),
        ("active: high", "active: high, off_delay: 2 ms", m => (m.Blanker.OffDelaySeconds, m.Blanker.OnDelaySeconds), (2e-3, 0.0)),
        ("active: high", "active: high, on_delay: 2 ms", m => (m.Blanker.OffDelaySeconds, m.Blanker.OnDelaySeconds), (0.0, 2e-3)),
        ("active: high", "active: high, on_delay: 2 ms, rise_time: 3 ms", m => (m.Blanker.RiseSeconds, m.Blanker.FallSeconds), (3e-3, 0.0)),
        ("active: high", "active: high, off_delay: 2 ms, fall_time: 3 ms", m => (m.Blanker.RiseSeconds, m.Blanker.FallSeconds), (0.0, 3e-3)),
        ("active: high", "active: high, leak: 100 %", m => m.Blanker.LeakFraction, 1.0),
        ("active: high", "active: high, shortest_pulse: 2 ms", m => m.Blanker.ShortestPulseSeconds, 2e-3),
        ("active: high", "active: high, compensate: no", m => m.Blanker.IsCompensated, false),
        ("active: high", "active: high, scan_enable_delay: 2 s", m => (m.Blanker.ScanEnableSeconds, m.Blanker.ScanDisableSeconds), (2.0, 0.0)),
        ("active: high", "active: high, scan_disable_delay: 2 s", m => (m.Blanker.ScanEnableSeconds, m.Blanker.ScanDisableSeconds), (0.0, 2.0)),
        ("current: 100 pA", "current: 2 A", m => m.Beam.CurrentAmperes, 2.0),
        ("current: 100 pA", "current: 100 pA, later: {after: 2 s, current: 1 A}", m => m.Beam.Later, new CurrentReading(2, 1)),
        ("current: 100 pA", "current: 100 pA, later: {after: 3 s, current: 1 A}", m => m.Beam.Later, new CurrentReading(3, 1)),
        ("current: 100 pA", "current: 100 pA, later: {after: 2 s, current: 2 A}", m => m.Beam.Later, new CurrentReading(2, 2)),
        ("spot: 20 nm", "spot: 30 nm", m => m.Beam.SpotNanometres, 30.0),
        ("link:", "trigger: {frequency: 50 Hz}\nlink:", m => m.Trigger, new TriggerInput(50, 0.1)),
        ("link:", "trigger: {frequency: 60 Hz, longest_wait: 100 ms}\nlink:", m => m.Trigger, new TriggerInput(60, 0.1)),
        ("link:", "trigger: {frequency: 50 Hz, longest_wait: 20.1 ms}\nlink:", m => m.Trigger, new TriggerInput(50, 0.0201)),
        ("link:", "park: [1 um, -2 um]\nlink:", m => m.ParkNanometres, (1000.0, -2000.0)),
        ("link:", "park: [-2 um, 1 um]\nlink:", m => m.ParkNanometres, (-2000.0, 1000.0)),
        ("link:", "park: [0 um, 0 um]\nlink:", m => m.ParkNanometres, (0.0, 0.0)),
    ];

    private static readonly (string From, string To, Func<Machine, object?> Value, object? Expected)[] Indifferent =
    [
        ("fixed: 1 us", "fixed: 1 us, hysteresis_x: 40 nm", m => (m.Settle.HysteresisXNanometres, m.Settle.HysteresisYNanometres), (40.0, 0.0)),
        ("fixed: 1 us", "fixed: 1 us, hysteresis_y: 40 nm", m => (m.Settle.HysteresisXNanometres, m.Settle.HysteresisYNanometres), (0.0, 40.0)),
        ("link:", "hum: {frequency: 50 Hz, x: 20 nm, y: 5 nm}\nlink:", m => (m.Hum!.Hertz, m.Hum.X.Single(), m.Hum.Y.Single()), (50.0, new HumWave(20, 0), new HumWave(5, 0))),
        ("link:", "hum: {frequency: 60 Hz, y: [5 nm, 0 nm], y_phase: 30 deg}\nlink:", m => (m.Hum!.Hertz, m.Hum.X.Length, m.Hum.Y[0], m.Hum.Y[1]), (60.0, 0, new HumWave(5, 30), new HumWave(0, 0))),
        ("link:", "hum: {frequency: 50 Hz, x: [20 nm, 4 nm], x_phase: [-30 deg, 1 rad]}\nlink:", m => (m.Hum!.X[0], m.Hum.X[1].Nanometres), (new HumWave(20, -30), 4.0)),
        ("machine: plain", "machine: other", m => m.Name, "other"),
        ("active: high", "active: low", m => m.Blanker.Level, BlankLevel.Low),
        ("active: high", "active: high, leak_spot: 5 um", m => m.Blanker.LeakSpotNanometres, 5000.0),
        ("active: high", "active: high, compensate: yes", m => m.Blanker.IsCompensated, true),
        ("fixed: 1 us", "fixed: 1 us, cancel_lag: no", m => m.Settle.CancelsLag, false),
        ("80 um}", "80 um, invert_x: no, invert_y: no, swap_axes: no}", m => m.Deflection.InvertX, false),
        ("80 um}", "80 um, calibration: {xy: -0}}", m => m.Deflection.SwapAxes, false),
        ("80 um}", "80 um, crosstalk: {x_from_y: 0, y_from_x: 0}}", m => m.Deflection.Crosstalk, null),
        ("80 um}", "80 um, usable_x: [5, 60000]}", m => (m.Deflection.UsableX, m.Deflection.UsableY), ((CodeRange?)new CodeRange(5, 60000), (CodeRange?)null)),
        ("80 um}", "80 um, usable_y: [32767, 32768]}", m => (m.Deflection.UsableX, m.Deflection.UsableY), ((CodeRange?)null, (CodeRange?)new CodeRange(32767, 32768))),
        ("straight", "straight, full_scale: one beyond last code", m => m.Dac.FullScale, DacFullScale.OneBeyondLastCode),
        ("energy: 30 keV", "energy: 20 keV", m => m.Beam.EnergyElectronvolts, 20_000.0),
        ("rate: 1 MB/s", "rate: 2 MB/s", m => m.Link.BytesPerSecond, 2e6),
        ("buffer: 4 KiB", "buffer: 5 KiB", m => m.Link.BufferBytes, 5120L),
        ("4 KiB", "4 KiB, blocks: 3", m => m.Link.Blocks, 3L),
        ("buffer: 4 KiB", "blocks: 3", m => m.Link.BufferBytes, 3 * 526L),
        ("4 KiB", "4 KiB, latency: 16 ms", m => m.Link.LatencySeconds, 0.016),
        ("4 KiB", "4 KiB, interpolates_lines: no", m => m.Link.InterpolatesLines, false),
        ("link:", "motion: {}\nlink:", m => m.Motion, new MotionDialect()),
        ("link:", "motion: {volts_per_unit: 2 V}\nlink:", m => m.Motion, new MotionDialect { VoltsPerUnit = 2 }),
        ("link:", "motion: {dwell_step: 1 ms}\nlink:", m => m.Motion, new MotionDialect { DwellStepSeconds = 1e-3 }),
        ("link:", "motion: {dwell_word: P milliseconds}\nlink:", m => m.Motion, new MotionDialect { DwellWord = DwellWord.MillisecondsP }),
        ("link:", "motion: {dwell_word: S seconds}\nlink:", m => m.Motion, new MotionDialect { DwellWord = DwellWord.SecondsS }),
        ("link:", "motion: {beam_on: M3 S1000}\nlink:", m => m.Motion, new MotionDialect { BeamOn = "M3 S1000" }),
        ("link:", "motion: {beam_on: M62 P0, beam_off: M63 P0}\nlink:", m => m.Motion, new MotionDialect { BeamOn = "M62 P0", BeamOff = "M63 P0" }),
        ("link:", "stage: {settle: 3 s}\nlink:", m => m.Stage, new Stage(double.PositiveInfinity, 3)),
        ("link:", "stage: {settle: 3 s, speed: 100 um/s, step: 1 um}\nlink:", m => m.Stage, new Stage(100_000, 3) { StepNanometres = 1000 }),
        ("link:", "stage: {settle: 3 s, origin: [1 um, -2 um], invert_x: yes}\nlink:", m => m.Stage, new Stage(double.PositiveInfinity, 3) { OriginNanometres = (1000, -2000), InvertX = true }),
        ("link:", "stage: {settle: 3 s, invert_y: yes, range_x: [-1 um, 2 um]}\nlink:", m => m.Stage, new Stage(double.PositiveInfinity, 3) { InvertY = true, RangeXNanometres = (-1000, 2000) }),
        ("link:", "stage: {settle: 3 s, rotation: 1 deg, scale: [1.01, 0.99], skew: 2 %}\nlink:", m => m.Stage, new Stage(double.PositiveInfinity, 3) { Frame = LayerPlacement.Of(0, 0, 1, 1.01, 0.99, 0.02) }),
        ("link:", "stage: {settle: 3 s, backlash: [3 um, 2 um], approach: [-10 um, 8 um]}\nlink:", m => m.Stage, new Stage(double.PositiveInfinity, 3) { BacklashNanometres = (3000, 2000), ApproachNanometres = (-10_000, 8000) }),
        ("link:", "stage: {settle: 3 s, height: {focus: 10 mm, scale_per_mm: 8 %}}\nlink:", m => m.Stage, new Stage(double.PositiveInfinity, 3) { Height = new FieldHeight(1e7, 8e-8) }),
        ("link:", "stage: {settle: 3 s, range_y: [-3 um, 2 um]}\nlink:", m => m.Stage, new Stage(double.PositiveInfinity, 3) { RangeYNanometres = (-3000, 2000) }),
    ];

    [Fact]
    public void Every_setting_of_a_machine_is_read()
    {
        string[] wrong =
        [
            .. Changes.Concat(Indifferent).Select(c => (c.To, c.Expected, Read: c.Value(Changed(c.From, c.To)))).Where(c => !Equals(c.Expected, c.Read))
                .Select(c => $"'{c.To}' is {c.Read}, not {c.Expected}"),
        ];
        Assert.Empty(wrong);
    }

    [Fact]
    public void Machines_that_write_other_records_have_other_digests()
    {
        SettingsDigest plain = SettingsDigests.Of(MachineFile.Parse(Plain, null));
        string[] alike =
        [
            .. Changes.Select(c => (c.To, Digest: SettingsDigests.Of(Changed(c.From, c.To)))).Append((To: "plain", Digest: plain))
                .GroupBy(c => c.Digest).Where(same => same.Count() > 1).Select(same => string.Join(" = ", same.Select(c => c.To))),
        ];
        Assert.Empty(alike);
        string[] other = [.. Indifferent.Where(c => SettingsDigests.Of(Changed(c.From, c.To)) != plain).Select(c => c.To)];
        Assert.Empty(other);
    }

    /// <summary>Documents outlive versions of this program: what they were made for is told by the same digest in each of them.</summary>
    [Fact]
    public void Digests_are_those_of_earlier_versions()
    {
        Machine all = MachineFile.Parse(
            Plain.Replace("80 um}", "80 um, invert_x: yes, invert_y: yes, swap_axes: yes, calibration: {xx: 1.5, offset_y: 5 nm}, linearity_y: [[0, 0], [9, 0.25]]}", StringComparison.Ordinal)
                .Replace("fixed: 1 us", "fixed: 1 us, cancel_lag: yes, table: [[1 um, 2 s], [2 um, 3 s]]", StringComparison.Ordinal)
                .Replace("100 pA", "100 pA, later: {after: 2 s, current: 1 A}", StringComparison.Ordinal)
                .Replace("link:", "park: [1 um, -2 um]\nlink:", StringComparison.Ordinal),
            null);
        Assert.Equal(
            ("0a5be9bd12fd5fdc6c9149d6e8803465", "936fcb2c14002138872b06b782e528e4", "766d2cca16f20dde589f9c1c360038c7"),
            ($"{SettingsDigests.Of(DefaultFiles.Machine)}", $"{SettingsDigests.Of(all)}", $"{SettingsDigests.Of(DefaultFiles.Process)}"));
    }

    [Fact]
    public void Processes_that_write_other_doses_have_other_digests()
    {
        string[] processes =
        [
            Process(), Process(area: 310), Process(line: 2), Process(dot: 21), Process(onset: 110), Process(clearing: 160), Process(tone: "negative"),
            Process("spread: {forward: 50 nm, backscatter: 4 um, ratio: 0.7}"), Process("spread: {forward: 51 nm, backscatter: 4 um, ratio: 0.7}"),
            Process("spread: {forward: 50 nm, backscatter: 5 um, ratio: 0.7}"), Process("spread: {forward: 50 nm, backscatter: 4 um, ratio: 0.8}"),
            Process("spread: {forward: 50 nm, backscatter: 4 um, ratio: 0.7, middle: 300 nm, middle_ratio: 0.1}"),
            Process("spread: {forward: 50 nm, backscatter: 4 um, ratio: 0.7, tail: 300 nm, tail_ratio: 0.1}"),
            Process("spread: {forward: 50 nm, backscatter: 4 um, ratio: 0.7, tail: 300 nm, tail_ratio: 0.2}"),
        ];
        Assert.Equal(processes.Length, processes.Select(yaml => SettingsDigests.Of(ProcessFile.Parse(yaml, null))).Distinct().Count());
        Assert.Equal(
            SettingsDigests.Of(ProcessFile.Parse(Process(), null)),
            SettingsDigests.Of(ProcessFile.Parse(Process("substrate: gold", thickness: "200 nm").Replace("plain", "other", StringComparison.Ordinal), null)));
    }

    private static string Process(string rest = "", int area = 300, int line = 1, int dot = 20, int onset = 100, int clearing = 150, string tone = "positive", string? thickness = null) =>
        $"process: plain\ndose: {{area: {area} uC/cm2, line: {line} nC/cm, dot: {dot} fC}}\n"
        + $"resist: {{tone: {tone}, onset: {onset} uC/cm2, clearing: {clearing} uC/cm2{(thickness is null ? "" : ", thickness: " + thickness)}}}\n{rest}\n";

    private static Machine Changed(string from, string to)
    {
        Assert.Contains(from, Plain, StringComparison.Ordinal);
        return MachineFile.Parse(Plain.Replace(from, to, StringComparison.Ordinal), null);
    }
}
