using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Passes.Order;

namespace PatternCompiler.Tests.Jobs;

public sealed class MachineFileTests
{
    private static string ErrorOf(string from, string to)
    {
        Assert.Contains(from, DefaultFiles.MachineText, StringComparison.Ordinal);
        string yaml = DefaultFiles.MachineText.Replace(from, to, StringComparison.Ordinal);
        string message = Assert.Throws<CompileException>(() => MachineFile.Parse(yaml, "m.yaml")).Message;
        return message.Split('\n')[0];
    }

    [Fact]
    public void Built_in_machine_is_a_16_bit_microscope()
    {
        Machine machine = DefaultFiles.Machine;
        Assert.Equal(new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), machine.Dac);
        Assert.Equal(new Deflection(100_000, 100_000, false, false, false, AffineCalibration.Identity), machine.Deflection);
        Assert.Equal(new SettleModel(20e-6, 5e-6, 1e10), machine.Settle);
        Assert.Equal(new Clock(1e7, 5, 16_777_215), machine.Clock);
        Assert.Equal(new Blanker(true, true, 1e-6, 1e-6, 0) { IsCompensated = true }, machine.Blanker);
        Assert.Equal(new Beam(100e-12, 20, 30_000), machine.Beam);
        Assert.Equal(new Link(1e6, 65_536, true), machine.Link);
    }

    [Theory]
    [InlineData("bits: 16", "bits: 7", "m.yaml:11:9: error PC0115: 'dac.bits' must be from 8 to 24, but it is 7")]
    [InlineData("bits: 16", "bits: sixteen", "m.yaml:11:9: error PC0114: 'dac.bits' must be a whole number, but it is 'sixteen'")]
    [InlineData("bits: 16", "bist: 16", "m.yaml:11:3: error PC0111: unknown key 'bist' in 'dac'; did you mean 'bits'?")]
    [InlineData("  bits: 16", "  # none", "m.yaml:12:3: error PC0113: 'dac' has no 'bits'; add 'bits:' with its value")]
    [InlineData("lowest: -10 V", "lowest: 10 V", "m.yaml:13:12: error PC0115: 'dac.lowest' is 10 V and 'dac.highest' is 10 V, but the highest must be above the lowest; give the lower voltage as 'lowest'; reverse an axis with 'deflection.invert_x' or 'invert_y'")]
    [InlineData("coding: offset binary", "coding: offset binry", "m.yaml:14:11: error PC0114: 'dac.coding' must be one of 'straight', 'offset binary', 'two's complement', but it is 'offset binry'; did you mean 'offset binary'?")]
    [InlineData("field: 100 um", "field: 10 V", "m.yaml:19:10: error PC0104: 'deflection.field' needs a length, but '10 V' is a voltage; write for example 20 nm")]
    [InlineData("field: 100 um", "field: 0 um", "m.yaml:19:10: error PC0115: 'deflection.field' must be above zero, but it is 0 um")]
    [InlineData("field: 100 um", "field_width: 100 um", "m.yaml:19:3: error PC0113: 'deflection' has no 'field_height'; add 'field_height:' with its value")]
    [InlineData("    xx: 1", "    xx: 0", "m.yaml:25:7: error PC0115: 'deflection.calibration.affine' maps the field onto a line (xx * yy = xy * yx); measure the field again")]
    [InlineData("longest_dwell: 16777215 ticks", "longest_dwell: 4 ticks", "m.yaml:58:18: error PC0115: 'clock.longest_dwell' is 4 ticks, shorter than 'clock.shortest_dwell' of 5 ticks")]
    [InlineData("shortest_dwell: 5 ticks", "shortest_dwell: 0.5 ticks", "m.yaml:57:19: error PC0115: 'clock.shortest_dwell' must be a whole number of ticks, but it is 0.5 ticks")]
    [InlineData("leak: 0 %", "leak: 120 %", "m.yaml:65:9: error PC0115: 'blanker.leak' is a part of the beam current, from 0 to 100 %, but it is 120 %")]
    [InlineData("current: 100 pA", "current: -100 pA", "m.yaml:72:12: error PC0115: 'beam.current' must be above zero, but it is -100 pA")]
    [InlineData("energy: 30 keV", "energy:", "m.yaml:75:10: error PC0114: 'beam.energy' has no value; give it a beam energy or leave it out")]
    [InlineData("buffer: 64 KiB", "buffer: 0.5 B", "m.yaml:80:11: error PC0115: 'link.buffer' must be a whole number of bytes, but it is 0.5 B")]
    [InlineData("buffer: 64 KiB", "blocks: 0\n  buffer: 64 KiB", "m.yaml:80:11: error PC0115: 'link.blocks' must be from 1 to 16777216, but it is 0")]
    [InlineData("buffer: 64 KiB", "blocks: 8\n  buffer: 4 KiB", "m.yaml:80:11: error PC0115: 'link.blocks' of 8 need 4208 bytes, but 'link.buffer' is 4 KiB; leave out one of the two; a block takes up to 526 bytes")]
    [InlineData("latency: 0 s", "latency: 11 s", "m.yaml:82:12: error PC0115: 'link.latency' must be at most 10 s, but it is 11 s; look for a wrong unit")]
    [InlineData("buffer: 64 KiB", "buffer: 1125899906842625 B", "m.yaml:80:11: error PC0115: 'link.buffer' must be a whole number of bytes, but it is 1125899906842625 B")]
    public void Errors_name_place_key_and_remedy(string from, string to, string expected) => Assert.Equal(expected, ErrorOf(from, to));

    [Fact]
    public void Composite_converters_have_fine_bits_and_a_coarse_settling()
    {
        string yaml = DefaultFiles.MachineText.Replace("  bits: 16 ", "  fine_bits: 10\n  coarse_settle: 150 us\n  bits: 16 ", StringComparison.Ordinal);
        Machine machine = MachineFile.Parse(yaml, null);
        Assert.Equal(new CompositeDac(10, 150e-6), machine.Composite);
        Assert.Null(DefaultFiles.Machine.Composite);

        // 100 µm over 2^16 codes, 2^10 codes a sub-field: 1.5625 µm.
        SubfieldGrid grid = StageOptions.Fill(DefaultFiles.Job, machine, DefaultFiles.Process).Order.Subfields!;
        Assert.Equal(1.5625e9, grid.WidthFemtometres, 1e-3);
        Assert.Equal(1.5625e9, grid.HeightFemtometres, 1e-3);
        string words = "words: {word_bits: 16, fields: [x_coarse 16, x_fine 16, y_coarse 16, y_fine 16], byte_order: most significant first}\n";
        Assert.Equal(10, MachineFile.Parse(yaml + words, null).Words!.FineBits);
        Assert.Contains(
            "error PC0115: coarse and fine fields need composite converters",
            Assert.Throws<CompileException>(() => MachineFile.Parse(DefaultFiles.MachineText + words, "m.yaml")).Message,
            StringComparison.Ordinal);
        Assert.Equal(machine.Composite, StageOptions.Scale(DefaultFiles.Job, machine).Composite);
        Assert.StartsWith(
            "m.yaml:11:14: error PC0115: 'dac.fine_bits' must be from 1 to 15, but it is 16",
            ErrorOf("  bits: 16 ", "  fine_bits: 16\n  coarse_settle: 1 us\n  bits: 16 "),
            StringComparison.Ordinal);
        Assert.StartsWith(
            "m.yaml:11:18: error PC0115: 'dac.coarse_settle' stands without 'dac.fine_bits'",
            ErrorOf("  bits: 16 ", "  coarse_settle: 1 us\n  bits: 16 "),
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("0.4 us", 4)]
    [InlineData("0.41 us", 5)]
    [InlineData("700 ns", 7)]
    public void Dwell_limits_in_time_round_to_ticks_inside_the_limit(string time, long ticks)
    {
        string yaml = DefaultFiles.MachineText.Replace("shortest_dwell: 5 ticks", $"shortest_dwell: {time}", StringComparison.Ordinal);
        Assert.Equal(ticks, MachineFile.Parse(yaml, null).Clock.MinimumDwellTicks);
    }

    [Fact]
    public void Bare_words_have_a_layout_of_fields()
    {
        string yaml = DefaultFiles.MachineText + "words: {word_bits: 16, fields: [x 16, y 16, dwell 15, blank 1], byte_order: most significant first}\n";
        WordLayout words = MachineFile.Parse(yaml, null).Words!;
        Assert.Equal((16, true, false), (words.WordBits, words.IsBigEndian, words.IsLeastSignificantBitFirst));
        Assert.Equal([new(WordContent.X, 16), new(WordContent.Y, 16), new(WordContent.Dwell, 15), new(WordContent.Blank, 1)], words.Fields.AsEnumerable());
    }

    // Only the blanker says what level its line has.
    [Theory]
    [InlineData("high")]
    [InlineData("low")]
    public void A_second_level_of_the_blank_line_is_refused(string level)
    {
        string yaml = DefaultFiles.MachineText + $"words: {{word_bits: 16, fields: [x 16, y 16, blank 16], byte_order: least significant first, blank: {level}}}\n";
        string message = Assert.Throws<CompileException>(() => MachineFile.Parse(yaml, "m.yaml")).Message.Split('\n')[0];
        Assert.Equal(
            "m.yaml:150:100: error PC0140: 'words.blank' would state the level of the blank line a second time; remove it; 'blanker.active' holds for every output",
            message);
    }

    [Theory]
    [InlineData("x 16, y 12", "m.yaml:150:8: error PC0115: the fields leave 4 bits of the last word open; add a zero field")]
    [InlineData("x 16", "m.yaml:150:8: error PC0115: there are 0 y fields")]
    [InlineData("x, y 16", "m.yaml:150:33: error PC0114: 'words.fields[1]' must be x, y, x_coarse, x_fine, y_coarse, y_fine, dwell, blank, scan or zero and a number of bits from 1 to 32, but it is 'x'; write for example x 16")]
    public void A_word_layout_that_cannot_be_is_refused(string fields, string expected)
    {
        string yaml = DefaultFiles.MachineText + $"words: {{word_bits: 16, fields: [{fields}], byte_order: least significant first}}\n";
        string message = Assert.Throws<CompileException>(() => MachineFile.Parse(yaml, "m.yaml")).Message.Split('\n')[0];
        Assert.Equal(expected, message);
    }

    [Fact]
    public void A_machine_may_have_no_blanker()
    {
        string text = DefaultFiles.MachineText;
        int start = text.IndexOf("\nblanker:\n", StringComparison.Ordinal);
        int end = text.IndexOf("\nbeam:\n", StringComparison.Ordinal);
        string yaml = text[..start] + "\nblanker: none\n" + text[end..];
        Assert.False(MachineFile.Parse(yaml, null).Blanker.IsPresent);
    }

    [Fact]
    public void The_waiting_place_lies_in_the_field()
    {
        Assert.Equal((-45_000.0, 20_000.0), MachineFile.Parse(DefaultFiles.MachineText + "park: [-45 um, 20 um]\n", null).ParkNanometres);
        string message = Assert.Throws<CompileException>(() => MachineFile.Parse(DefaultFiles.MachineText + "park: [-45 um, 51 um]\n", "m.yaml")).Message;
        Assert.Contains("error PC0115: 'park' lies outside the field; choose a place that the converters reach", message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_missing_file_is_one_clear_line() => Assert.Equal(
        "no-such-folder/m.yaml: error PC0130: there is no machine file of this name; check the path; in a job file it is relative to the job file's folder",
        Assert.Throws<CompileException>(() => MachineFile.Read("no-such-folder/m.yaml")).Message);

    [Fact]
    public void A_polynomial_calibration_and_a_linearity_table_are_read()
    {
        Deflection deflection = MachineFile.Parse(With("polynomial: {order: 1, half_field: 50 um, x: [12 nm, 50030 nm, -8 nm], y: [-5 nm, 10 nm, 49980 nm]}", "linearity_x: [[0, 0], [32767, 0.4], [32768, -0.3]]"), "m.yaml").Deflection;
        var polynomial = Assert.IsType<PolynomialCalibration>(deflection.Calibration).Polynomial;
        Assert.Equal((1, 50_000.0), (polynomial.Order, polynomial.HalfFieldNanometres));
        Assert.Equal([12, 50_030, -8], polynomial.XNanometres.Select(x => Math.Round(x)));
        Assert.Equal(32767.4, deflection.LinearityX!.OutputOf(32767), 1e-9);
        Assert.Null(deflection.LinearityY);
    }

    /// <summary>A grid that was measured on one side of the undeflected beam, up to it, is a calibration.</summary>
    [Theory]
    [InlineData(0, -50)]
    [InlineData(-100, -50)]
    [InlineData(-50, 0)]
    [InlineData(-50, -100)]
    public void The_centre_may_lie_at_the_border_of_a_measured_grid(int left, int bottom)
    {
        (int X, int Y)[] landings = [(left, bottom), (left + 100, bottom), (left, bottom + 100), (left + 100, bottom + 100)];
        string list = string.Join(", ", landings.Select(at => $"[{1000 * at.X}, {1000 * at.Y}]"));
        Deflection deflection = MachineFile.Parse(With($"grid: {{columns: 2, rows: 2, first: [{left} um, {bottom} um], step: [100 um, 100 um], landings: [{list}]}}"), "m.yaml").Deflection;
        Assert.Equal((1000.0 * (left + 50), 1000.0 * (bottom + 50)), deflection.Calibration.Land(1000.0 * (left + 50), 1000.0 * (bottom + 50)));
    }

    [Fact]
    public void A_measured_grid_is_read_row_by_row_from_the_lower_left()
    {
        Deflection deflection = MachineFile.Parse(With("grid: {columns: 2, rows: 2, first: [-50 um, -50 um], step: [100 um, 100 um], landings: [[-50012, -49990], [50004, -50001], [-50007, 50003], [49995, 50010]]}"), "m.yaml").Deflection;
        (double x, double y) = deflection.Calibration.Land(50_000, -50_000);
        Assert.Equal((50_004, -50_001), (Math.Round(x, 6), Math.Round(y, 6)));
    }

    [Theory]
    [InlineData("polynomial: {order: 2, half_field: 50 um, x: [0 nm, 50 um, 0 nm], y: [0 nm, 0 nm, 50 um]}", "'deflection.calibration.polynomial.x' needs 6 coefficients for order 2, but it has 3")]
    [InlineData("polynomial: {order: 1, half_field: 50 um, x: [0 nm, 50 um, 0 nm], y: [0 nm, 50 um, 0 nm]}", "'deflection.calibration.polynomial' maps the field onto a line, or its centre outside the measured area")]
    [InlineData("grid: {columns: 2, rows: 2, first: [-50 um, -50 um], step: [0 um, 100 um], landings: [[-50, -50], [50, -50], [-50, 50], [50, 50]]}", "'deflection.calibration.grid.step' must be above zero in x and y")]
    [InlineData("grid: {columns: 2, rows: 2, first: [-50 um, -50 um], step: [100 um, 0 um], landings: [[-50, -50], [50, -50], [-50, 50], [50, 50]]}", "'deflection.calibration.grid.step' must be above zero in x and y")]
    [InlineData("grid: {columns: 2, rows: 2, first: [-50 um, -50 um], step: [-100 um, 100 um], landings: [[-50, -50], [50, -50], [-50, 50], [50, 50]]}", "'deflection.calibration.grid.step' must be above zero in x and y")]
    [InlineData("grid: {columns: 2, rows: 2, first: [-50 um, -50 um], step: [100 um, -100 um], landings: [[-50, -50], [50, -50], [-50, 50], [50, 50]]}", "'deflection.calibration.grid.step' must be above zero in x and y")]
    [InlineData("grid: {columns: 2, rows: 2, first: [-50 um, -50 um], step: [100 um, 100 um], landings: [[0, 0]]}", "'deflection.calibration.grid.landings' has 1 point, but 2 columns and 2 rows make 4")]
    public void Calibrations_that_cannot_be_are_refused(string calibration, string expected) => Assert.Contains(
        expected, Assert.Throws<CompileException>(() => MachineFile.Parse(With(calibration), "m.yaml")).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("linearity_x: [[0, 0], [70000, 0.1]]", "must name a code from 0 to 65535, but it is 70000")]
    [InlineData("linearity_x: [[100, 0], [102, -2.5]]", "'deflection.linearity_x[2]': outputs must rise from line to line, save from a code to the very next, where they may fall back by less than they rise to either side; sort by code; a converter whose output falls elsewhere than at a carry cannot be corrected")]
    [InlineData("linearity_x: [[101, 0], [100, 9]]", "'deflection.linearity_x[2]': codes must rise from line to line; sort by code")]
    [InlineData("crosstalk: {x_from_y: 0.6}", "'deflection.crosstalk.x_from_y' is a part of the other output's voltage, from -0.5 to 0.5, but it is 0.6; look for exchanged axes ('swap_axes')")]
    [InlineData("crosstalk: {x_to_y: 0.1}", "x_to_y")]
    [InlineData("usable_x: [0]", "'deflection.usable_x' must be the lowest and the highest code, but it has 1 values; write for example [1024, 64511]")]
    [InlineData("usable_x: [0, 65536]", "65535")]
    [InlineData("usable_y: [32768, 60000]", "'deflection.usable_y' must reach over the middle of the range, code 32768, where the beam waits, but it is from 32768 to 60000")]
    [InlineData("usable_y: [0, 32767]", "'deflection.usable_y' must reach over the middle of the range, code 32768, where the beam waits, but it is from 0 to 32767")]
    [InlineData("usable_x: [100, 60000]\npark: [49 um, 0 um]", "'park' needs codes 64881 and 32768, but the outputs follow from 100 to 60000 and from 0 to 65535; choose a place that the amplifiers reach")]
    public void Linearity_tables_that_cannot_be_are_refused(string linearity, string expected) => Assert.Contains(
        expected, Assert.Throws<CompileException>(() => MachineFile.Parse(With("xx: 1", linearity), "m.yaml")).Message, StringComparison.Ordinal);

    /// <summary>At most a thousand of the longest dwell, 100 ticks of 100 ns, and an hour for the scan: no record is made of what would never end.</summary>
    [Theory]
    [InlineData("off_delay", "10 ms", "10 ms", "10.001 ms")]
    [InlineData("on_delay", "10 ms", "10 ms", "9223372036854775808 us")]
    [InlineData("shortest_pulse", "10 ms", "10 ms", "1 s")]
    [InlineData("scan_enable_delay", "1 h 00 min", "3600 s", "3601 s")]
    [InlineData("scan_disable_delay", "1 h 00 min", "3600 s", "9007199254740993 s")]
    public void Delays_without_end_are_refused(string key, string longest, string fine, string tooLong)
    {
        string Text(string delay) => With("xx: 1").Replace("65535 ticks", "100 ticks", StringComparison.Ordinal).Replace("blanker: none", $"blanker: {{active: high, {key}: {delay}}}", StringComparison.Ordinal);
        Assert.True(MachineFile.Parse(Text(fine), "m.yaml").Blanker.IsPresent);
        Assert.Equal(
            $"error PC0115: 'blanker.{key}' must be at most {longest}, but it is {tooLong}; look for a wrong unit",
            Assert.Throws<CompileException>(() => MachineFile.Parse(Text(tooLong), "m.yaml")).Message.Split('\n')[0].Split(": ", 2)[1]);
    }

    /// <summary>An hour is far more than any deflection takes to settle.</summary>
    [Theory]
    [InlineData("settle: {fixed: 3600 s, time_constant: 3600 s, table: [[1 um, 3600 s]]}", null)]
    [InlineData("settle: {fixed: 92233720336854775808 us}", "'settle.fixed' must be at most 1 h 00 min, but it is 92233720336854775808 us")]
    [InlineData("settle: {time_constant: 3601 s}", "'settle.time_constant' must be at most 1 h 00 min, but it is 3601 s")]
    [InlineData("settle: {table: [[1 um, 2 h]]}", "'settle.table[1][2]' must be at most 1 h 00 min, but it is 2 h")]
    public void Waits_without_end_are_refused(string settle, string? expected)
    {
        CompileException? fault = (CompileException?)Record.Exception(() => MachineFile.Parse(With("xx: 1") + settle + "\n", "m.yaml"));
        Assert.Equal(expected is null ? null : $"error PC0115: {expected}; look for a wrong unit", fault?.Message.Split('\n')[0].Split(": ", 2)[1]);
    }

    /// <summary>Each jump of a table is longer than the one before it, from the second on, and has one wait.</summary>
    [Theory]
    [InlineData("[[1 um, 3 us], [2 um, 3 us], [3 um, 1 us]]", null)]
    [InlineData("[[2 um, 3 us], [1 um, 4 us]]", "'settle.table[2]' has a jump of 1 um, not longer than the one before it; sort the lines by jump length")]
    [InlineData("[[1 um, 3 us], [2 um, 4 us], [2 um, 5 us]]", "'settle.table[3]' has a jump of 2 um, not longer than the one before it; sort the lines by jump length")]
    [InlineData("[[1 um, 3 us, 4 us]]", "'settle.table[1]' must have a jump length and a wait, but it has 3 values; write for example [10 um, 30 us]")]
    [InlineData("[[1 um]]", "'settle.table[1]' must have a jump length and a wait, but it has 1 values; write for example [10 um, 30 us]")]
    public void Tables_of_waits_are_sorted_pairs(string table, string? expected)
    {
        CompileException? fault = (CompileException?)Record.Exception(() => MachineFile.Parse(With("xx: 1") + $"settle: {{table: {table}}}\n", "m.yaml"));
        Assert.Equal(expected is null ? null : $"error PC0115: {expected}", fault?.Message.Split('\n')[0].Split(": ", 2)[1]);
    }

    /// <summary>A field that falls onto a line is refused, oblique as well as upright; one whose axes do not mix is fine.</summary>
    [Theory]
    [InlineData("x: [0 nm, 100 nm, 0 nm], y: [0 nm, 0 nm, 90 nm]", true)]
    [InlineData("x: [0 nm, 0 nm, 100 nm], y: [0 nm, 90 nm, 0 nm]", true)]
    [InlineData("x: [0 nm, 100 nm, 50 nm], y: [0 nm, 80 nm, 40 nm]", false)]
    [InlineData("x: [0 nm, 100 nm, 50 nm], y: [0 nm, 0 nm, 0 nm]", false)]
    public void A_polynomial_must_not_fold_the_field(string terms, bool isFine)
    {
        CompileException? fault = (CompileException?)Record.Exception(() => MachineFile.Parse(With($"polynomial: {{order: 1, half_field: 50 um, {terms}}}"), "m.yaml"));
        Assert.Equal(isFine ? null : "m.yaml:6:17: error PC0115: 'deflection.calibration.polynomial' maps the field onto a line, or its centre outside the measured area; measure the field again", fault?.Message.Split('\n')[0]);
    }

    /// <summary>(3 1; 5 2) has the inverse (2 -1; -5 3), which takes (10, 5) to (15, -35): the place that is commanded for 0 lies there on the other side.</summary>
    [Fact]
    public void A_calibration_of_the_older_sense_is_told_with_its_inverse()
    {
        Diagnostic note = MachineFile.Parse(With("xx: 3\n    xy: 1\n    yx: 5\n    yy: 2\n    offset_x: 10 nm\n    offset_y: 5 nm"), "m.yaml").OldSense!;
        Assert.Equal(("m.yaml", 6), (note.Place.File, note.Place.Line));
        Assert.Equal("'affine: {xx: 2, xy: -1, yx: -5, yy: 3, offset_x: -15 nm, offset_y: 35 nm}' under 'calibration' means the same", note.Fix);
        Assert.Null(MachineFile.Parse(With("xx: 1\n    xy: 0\n    yx: 0\n    yy: 1\n    offset_x: 0 nm\n    offset_y: 0 nm"), "m.yaml").OldSense);
        Assert.Null(MachineFile.Parse(With("{}"), "m.yaml").OldSense);
        Assert.Null(MachineFile.Parse(With("affine: {xx: 3, xy: 1, yx: 5, yy: 2}"), "m.yaml").OldSense);
    }

    /// <summary>Any one of the keys tells that a calibration is of the older sense; what is not stated is that of no change.</summary>
    [Theory]
    [InlineData("xx: 2", "xx: 0.5, xy: 0, yx: 0, yy: 1, offset_x: 0 nm, offset_y: 0 nm")]
    [InlineData("xy: 2", "xx: 1, xy: -2, yx: 0, yy: 1, offset_x: 0 nm, offset_y: 0 nm")]
    [InlineData("yx: 2", "xx: 1, xy: 0, yx: -2, yy: 1, offset_x: 0 nm, offset_y: 0 nm")]
    [InlineData("yy: 2", "xx: 1, xy: 0, yx: 0, yy: 0.5, offset_x: 0 nm, offset_y: 0 nm")]
    [InlineData("offset_x: 2 nm", "xx: 1, xy: 0, yx: 0, yy: 1, offset_x: -2 nm, offset_y: 0 nm")]
    [InlineData("offset_y: 2 nm", "xx: 1, xy: 0, yx: 0, yy: 1, offset_x: 0 nm, offset_y: -2 nm")]
    [InlineData("{xx: 0, xy: 1, yx: 1, yy: 0}", "xx: 0, xy: 1, yx: 1, yy: 0, offset_x: 0 nm, offset_y: 0 nm")]
    [InlineData("{xx: 0, xy: 1, yx: -1, yy: 0}", "xx: 0, xy: -1, yx: 1, yy: 0, offset_x: 0 nm, offset_y: 0 nm")]
    public void Any_key_is_of_the_older_sense(string key, string inverse)
    {
        Diagnostic note = MachineFile.Parse(With(key), "m.yaml").OldSense!;
        Assert.Equal((JobCodes.OldSense, Severity.Note), (note.Code, note.Severity));
        Assert.Equal($"'affine: {{{inverse}}}' under 'calibration' means the same", note.Fix);
    }

    private static string With(string calibration, string linearity = "") =>
        "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}\ndeflection:\n  field: 100 um\n  calibration:\n    "
        + calibration + "\n  " + linearity
        + "\nclock: {rate: 10 MHz, shortest_dwell: 5 ticks, longest_dwell: 65535 ticks}\nblanker: none\n"
        + "beam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 1 MB/s, buffer: 64 KiB}\n";

    [Fact]
    public void Timing_of_blanker_and_deflection_and_drift_of_the_beam_are_read()
    {
        string yaml = DefaultFiles.MachineText
            .Replace("  cancel_lag: no", "  table: [[1 um, 25 us], [50 um, 60 us]]\n  cancel_lag: yes", StringComparison.Ordinal)
            .Replace("  compensate: yes", "  compensate: no", StringComparison.Ordinal)
            .Replace("shortest_pulse: 0 s", "shortest_pulse: 3 us", StringComparison.Ordinal)
            .Replace("scan_enable_delay: 0 s", "scan_enable_delay: 1 ms", StringComparison.Ordinal)
            .Replace("  current: 100 pA", "  current: 100 pA\n  later: {after: 2 h, current: 95 pA}", StringComparison.Ordinal);
        Machine machine = MachineFile.Parse(yaml, "m.yaml");
        Assert.Equal([1000.0, 50_000.0], machine.Settle.Table.Select(p => p.JumpNanometres));
        Assert.Equal(60e-6, machine.Settle.Table[1].Seconds, 1e-12);
        Assert.True(machine.Settle.CancelsLag);
        Assert.False(machine.Blanker.IsCompensated);
        Assert.Equal((3e-6, 1e-3), (machine.Blanker.ShortestPulseSeconds, machine.Blanker.ScanEnableSeconds));
        Assert.Equal(97.5e-12, machine.Beam.CurrentAt(3600), 1e-18);
        Assert.Equal(95e-12, machine.Beam.CurrentAt(1e6), 1e-18);
        Assert.True(DefaultFiles.Machine.Blanker.IsCompensated);
    }
}
