using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Report;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Jobs;

/// <summary>What settings mean to the stages, worked out by hand. A code is 1 nm along x and 2 nm along y, a tick 0.1 µs.</summary>
public sealed class SettingsMeaningTests
{
    private const string MachineText = """
        machine: bench
        dac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}
        deflection: {field_width: 65.536 um, field_height: 131.072 um}
        settle: {fixed: 1 us, time_constant: 2 us, slew: 3 um/us}
        clock: {rate: 10 MHz, shortest_dwell: 4 ticks, longest_dwell: 1000 ticks}
        blanker: {active: high, leak: 10 %}
        beam: {current: 100 pA, spot: 20 nm, energy: 30 keV}
        link: {rate: 2 MB/s, buffer: 4 KiB}
        """;

    private const string ProcessText = "process: p\ndose: {area: 100 uC/cm2, line: 2 nC/cm, dot: 10 fC}\nresist: {onset: 40 uC/cm2, clearing: 50 uC/cm2}\nspread: {forward: 50 nm, backscatter: 4 um, ratio: 0.7}\n";

    private static Machine Read(string from = "", string to = "") =>
        MachineFile.Parse(from.Length == 0 ? MachineText : MachineText.Replace(from, to, StringComparison.Ordinal), null);

    private static Resist Process => ProcessFile.Parse(ProcessText, null);

    // The weakest point: 4 ticks of 100 pA are 40 aC; 1 C/m² on 1 nm² is 1 aC.
    [Fact]
    public void Correction_counts_from_the_base_doses_and_knows_the_smallest_piece()
    {
        Job job = JobFile.Parse(
            """
            job: a
            correct: {tolerance: 1 %}
            fill: {line_pitch: 10 nm, point_step: 5 codes}
            layers:
              - {layer: plain}
              - {layer: strong, dose_factor: 1.5, area_dose: 300 uC/cm2, line_dose: 1 nC/cm, dot_charge: 40 fC, fill: {line_pitch: 8 nm, point_step: 3 nm, passes: 2}}
              - {layer: chosen, fill: {line_pitch: automatic}}
              - {layer: stepped, fill: {point_step: automatic}}
            """,
            null);
        ProximityOptions options = StageOptions.Correction(job, Read(), Process)!;
        AssertDose(new LayerDose(1, 1, 1, 40.0 / (10 * 10)), options.General);

        // 2e-7 C/m on 1 C/m² are as wide as 200 nm, 10 fC as large as 10,000 nm².
        Assert.Equal(200, options.LineDosePerAreaDoseNanometres, 1e-9);
        Assert.Equal(10_000, options.DotChargePerAreaDoseSquareNanometres, 1e-9);
        AssertDose(new LayerDose(1, 1, 1, 40.0 / (10 * 10)), options.ByLayer["plain"]);
        AssertDose(new LayerDose(4.5, 0.75, 6, 2 * 40.0 / (8 * 3)), options.ByLayer["strong"]);
        AssertDose(new LayerDose(1, 1, 1, 0), options.ByLayer["chosen"]);
        AssertDose(new LayerDose(1, 1, 1, 0), options.ByLayer["stepped"]);

        static void AssertDose(LayerDose expected, LayerDose dose)
        {
            Assert.Equal(expected.Area, dose.Area, 1e-12);
            Assert.Equal(expected.Line, dose.Line, 1e-12);
            Assert.Equal(expected.Dot, dose.Dot, 1e-12);
            Assert.Equal(expected.SmallestArea, dose.SmallestArea, 1e-9);
        }
    }

    [Fact]
    public void Without_correction_there_is_none_and_without_a_spread_it_is_refused()
    {
        Assert.Null(StageOptions.Correction(JobFile.Parse("job: a\n", null), Read(), Process));
        Resist unknown = ProcessFile.Parse(ProcessText[..ProcessText.IndexOf("spread", StringComparison.Ordinal)], null);
        Assert.Equal(
            "error PC0113: the process 'p' does not say how energy spreads, so doses cannot be corrected; add 'spread' to the process file; 'patternc init' shows it with literature-typical values",
            Assert.Throws<CompileException>(() => StageOptions.Correction(JobFile.Parse("job: a\ncorrect: {tolerance: 1 %}\n", null), Read(), unknown)).Message);
    }

    // The stream's page: a dot has 5 words, a line 11, of 2 bytes with up to 16 bits and 3 above; 526 bytes travel for 512.
    [Fact]
    public void Spacings_are_bounded_by_clock_beam_deflection_and_link()
    {
        SpacingLimits limits = FillLimits.Of(Read(), Process);
        Assert.Equal((100e-12, 100e-12, 1e7, 4L, 1000L, 20.0), (limits.LargestCurrentAmperes, limits.SmallestCurrentAmperes, limits.ClockHertz, limits.ShortestDwellTicks, limits.LongestDwellTicks, limits.SpotNanometres));
        Assert.Equal((3e9, 2e-6, 2e6), (limits.FastestNanometresPerSecond, limits.LagSeconds, limits.LinkBytesPerSecond));
        Assert.Equal(10 * 526 / 512.0, limits.BytesPerPoint, 1e-9);
        Assert.Equal((22 + 4 * 10) * 526 / 512.0, limits.BytesPerLine, 1e-9);
        Assert.Equal(15 * 526 / 512.0, FillLimits.Of(Read("bits: 16", "bits: 17"), Process).BytesPerPoint, 1e-9);
        Assert.Equal(0, FillLimits.Of(Read("buffer: 4 KiB", "buffer: 4 KiB, interpolates_lines: no"), Process).BytesPerLine);
        Assert.Equal(double.PositiveInfinity, FillLimits.Of(Read(", slew: 3 um/us", ""), Process).FastestNanometresPerSecond);
        Assert.Equal(0, FillLimits.Of(Read("slew: 3 um/us", "slew: 3 um/us, cancel_lag: yes"), Process).LagSeconds);
        SpacingLimits falling = FillLimits.Of(Read("current: 100 pA", "current: 100 pA, later: {after: 1 s, current: 80 pA}"), Process);
        Assert.Equal((100e-12, 80e-12), (falling.LargestCurrentAmperes, falling.SmallestCurrentAmperes));
        SpacingLimits rising = FillLimits.Of(Read("current: 100 pA", "current: 100 pA, later: {after: 1 s, current: 120 pA}"), Process);
        Assert.Equal((120e-12, 100e-12), (rising.LargestCurrentAmperes, rising.SmallestCurrentAmperes));
    }

    [Fact]
    public void The_weakest_point_is_one_of_the_strongest_current()
    {
        Job job = JobFile.Parse("job: a\n", null);
        Assert.Equal(40e-18, StageOptions.Fill(job, Read(), Process).SmallestPointChargeCoulombs, 1e-24);
        Assert.Equal(48e-18, StageOptions.Fill(job, Read("current: 100 pA", "current: 100 pA, later: {after: 1 s, current: 120 pA}"), Process).SmallestPointChargeCoulombs, 1e-24);
        Assert.Equal(40e-18, StageOptions.Fill(job, Read("current: 100 pA", "current: 100 pA, later: {after: 1 s, current: 80 pA}"), Process).SmallestPointChargeCoulombs, 1e-24);
    }

    [Theory]
    [InlineData("", "", false)]
    [InlineData("leak: 10 %", "leak: 0 %", true)]
    [InlineData("time_constant: 2 us, slew: 3 um/us", "time_constant: 0 us", true)]
    [InlineData("time_constant: 2 us, slew: 3 um/us", "slew: 3 um/us", false)]
    [InlineData("time_constant: 2 us, slew: 3 um/us", "time_constant: 2 us", false)]
    [InlineData("{active: high, leak: 10 %}", "none", false)]
    [InlineData("straight", "straight, fine_bits: 10, coarse_settle: 3 us", true)]
    public void Jumps_are_led_around_only_where_they_print_and_their_speed_is_known(string from, string to, bool isStraight)
    {
        Assert.Null(StageOptions.Route(JobFile.Parse("job: a\n", null), Read(from, to), Process));
        Assert.Equal(isStraight, StageOptions.Route(JobFile.Parse("job: a\norder: {travel: hidden}\n", null), Read(from, to), Process) is null);
    }

    [Theory]
    [InlineData(false, false, false)]
    [InlineData(true, false, false)]
    [InlineData(false, true, true)]
    public void Without_a_blanker_the_beam_waits_in_the_lower_left_corner(bool invertX, bool invertY, bool swap)
    {
        Machine machine = Read("{active: high, leak: 10 %}", "none");
        machine = machine with { Deflection = machine.Deflection with { InvertX = invertX, InvertY = invertY, SwapAxes = swap } };
        (long x, long y) = StageOptions.Park(machine)!.Value;
        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        (double codeX, double codeY) = mapping.CodesAt(x, y);
        Assert.Contains(codeX, new[] { 0.0, 65535.0 });
        Assert.Contains(codeY, new[] { 0.0, 65535.0 });
        Assert.InRange(x, -32_768_000_000, -32_767_000_000);
        Assert.InRange(y, -65_536_000_000, -65_534_000_000);
    }

    /// <summary>Where amplifiers clip, the corner is that of the codes that they follow.</summary>
    [Fact]
    public void Without_a_blanker_the_beam_waits_where_the_amplifiers_follow()
    {
        Machine machine = Read("{active: high, leak: 10 %}", "none");
        machine = machine with { Deflection = machine.Deflection with { InvertX = true, UsableX = new(100, 60000), UsableY = new(2000, 65000) } };
        (long x, long y) = StageOptions.Park(machine)!.Value;
        (double codeX, double codeY) = new DacMapping(machine.Dac, machine.Deflection).CodesAt(x, y);
        Assert.Equal((60000, 2000), (Math.Round(codeX, 6), Math.Round(codeY, 6)));
    }

    [Fact]
    public void A_composite_converters_sub_fields_have_the_size_of_their_axes()
    {
        Machine machine = Read("straight", "straight, fine_bits: 10, coarse_settle: 3 us");
        foreach (bool swap in new[] { false, true })
        {
            var grid = StageOptions.Fill(JobFile.Parse("job: a\n", null), machine with { Deflection = machine.Deflection with { SwapAxes = swap } }, Process).Order.Subfields!;
            Assert.Equal((1_024_000_000.0, 2_048_000_000.0), (grid.WidthFemtometres, grid.HeightFemtometres));
            Assert.Equal((-500_000.0, -1_000_000.0), (grid.XOriginFemtometres, grid.YOriginFemtometres));
        }
    }

    [Fact]
    public void A_report_names_files_as_its_reader_knows_them()
    {
        var names = new ReportNames("jobs/lab/j.yaml");
        Assert.Equal("chip.dxf", names.Of("jobs/lab/chip.dxf"));
        Assert.Equal("sub/chip.dxf", names.Of("jobs/lab/sub/chip.dxf"));
        Assert.Equal("jobs/labour/chip.dxf", names.Of("jobs/labour/chip.dxf"));
        Assert.Equal("chip.dxf", names.Of("/home/lab/chip.dxf"));
        Assert.Equal("standard stream", names.Of("-"));
        Assert.Equal("a/b.dxf", new ReportNames(null).Of("a/b.dxf"));
        Assert.Equal("b.dxf", new ReportNames(null).Of("/a/b.dxf"));
        var fault = new Diagnostic(PatternCompiler.Diagnostics.Catalogue.JobCodes.CannotRead, Severity.Error, "m", new SourcePlace("jobs/lab/chip.dxf", 3, 4));
        Assert.Equal(new SourcePlace("chip.dxf", 3, 4), names.Shorten(fault).Place);
        Assert.Equal(fault with { Place = default }, names.Shorten(fault with { Place = default }));
    }

    [Fact]
    public void A_report_states_the_settings_of_the_job()
    {
        string[] plain = [.. JobFacts.Of(JobFile.Parse("job: a\n", null)).Select(f => $"{f.Name}: {f.Value}")];
        Assert.Equal(
            [
                "Layers written: all", "Position: as drawn", "Grid: 0.1 nm", "Curves: polygons within 1 nm", "Fill: lines 20 nm apart, points 10 nm apart",
                "Order: short travel", "Proximity correction: none",
            ],
            plain);
        string[] facts =
        [
            .. JobFacts.Of(JobFile.Parse(
                """
                job: a
                write: [b, c]
                position: centred
                grid: 1 nm
                chord_error: 2 um
                correct: {tolerance: 1 %}
                fill: {strategy: raster, line_pitch: 1 codes, point_step: 3 codes, passes: 2}
                order: {by: y}
                layers:
                  - {layer: b, dose_factor: 1.5, fill: {strategy: one-way lines, line_pitch: automatic, passes: 1}}
                  - {layer: c, fill: {strategy: one-way raster, point_step: automatic}}
                  - {layer: d, fill: {strategy: contour then lines}}
                  - {layer: e, fill: {strategy: inward contours, passes: 3}}
                """,
                null)).Select(f => $"{f.Name}: {f.Value}"),
        ];
        Assert.Equal(
            [
                "Layers written: b, c", "Position: centred", "Grid: 1 nm", "Curves: polygons within 2 µm", "Fill: raster 1 code apart, points 3 codes apart, 2 passes",
                "Fill of b: one-way lines a chosen distance apart, points 3 codes apart, dose × 1.5", "Fill of c: one-way raster 1 code apart, points a chosen distance apart, 2 passes",
                "Fill of d: contour then lines 1 code apart, points 3 codes apart, 2 passes", "Fill of e: inward contours 1 code apart, points 3 codes apart, 3 passes",
                "Order: y", "Proximity correction: yes",
            ],
            facts);
        Assert.Contains(JobFacts.Of(JobFile.Parse("job: a\norder: {by: x}\n", null)), f => f == ("Order", "x"));
        Assert.Contains(JobFacts.Of(JobFile.Parse("job: a\norder: {by: as given}\n", null)), f => f == ("Order", "as given"));
    }
}
