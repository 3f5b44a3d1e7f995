using System.Globalization;
using System.Text;

namespace PatternCompiler.Tests.Kept;

/// <summary>Drawing, job, machine and process that use much of what the program can, drawn from a number.</summary>
internal sealed record KeptCase(string Drawing, string Job, string Machine, string Process)
{
    public static KeptCase Of(int number)
    {
        var draw = new KeptDraw((ulong)number);
        int bits = draw.From(11, 20);
        (string machine, bool hasStage) = MachineOf(draw, bits);
        return new KeptCase(DrawingOf(draw), JobOf(draw, hasStage, 100_000.0 / (1 << bits)), machine, ProcessOf(draw));
    }

    private static (string Text, bool HasStage) MachineOf(KeptDraw draw, int bits)
    {
        int codes = 1 << bits;
        int clock = draw.From(10, 60);
        bool hasFine = draw.Rarely(5);
        bool hasStage = draw.Rarely(2);
        var text = new StringBuilder();
        text.Append($"machine: case\ndac: {{bits: {bits}, lowest: {draw.One("-10", "0", "-5")} V, highest: {draw.One("10", "5", "7.5")} V, coding: {draw.One("straight", "offset binary", "two's complement")}, ")
            .Append($"full_scale: {draw.One("last code", "one beyond last code")}{(hasFine ? $", fine_bits: {bits / 2}, coarse_settle: {draw.From(1, 30)} us" : "")}}}\n")
            .Append($"deflection: {{field_width: {draw.From(70, 130)} um, field_height: {draw.From(70, 130)} um, invert_x: {draw.One("yes", "no")}, invert_y: {draw.One("yes", "no")}, swap_axes: {draw.One("yes", "no")}")
            .Append(draw.Below(5) switch
            {
                0 => $", calibration: {{xx: 1.0{draw.From(1, 9)}, xy: 0.00{draw.From(1, 9)}, yx: -0.01{draw.From(1, 9)}, yy: 0.98{draw.From(1, 9)}, offset_x: {draw.From(-90, 90)} nm, offset_y: {draw.From(-90, 90)} nm}}",
                1 => $", calibration: {{polynomial: {{order: 2, half_field: 50 um, x: [{draw.From(-20, 20)} nm, 50030 nm, {draw.From(-20, 20)} nm, {draw.From(-90, 90)} nm, {draw.From(-90, 90)} nm, 4 nm], y: [{draw.From(-20, 20)} nm, {draw.From(-20, 20)} nm, 49970 nm, 5 nm, {draw.From(-90, 90)} nm, 7 nm]}}}}",
                2 => $", calibration: {{grid: {{columns: 2, rows: 3, first: [-70 um, -70 um], step: [140 um, 70 um], landings: [[-70012, -69990], [70004, -70001], [-70003, {draw.From(-90, 90)}], [70020, {draw.From(-90, 90)}], [-70007, 70003], [69995, 70010]]}}}}",
                _ => "",
            })
            .Append(draw.Perhaps(4, $", linearity_x: [[0, 0], [{codes / 2 - 1}, 0.4], [{codes / 2}, -0.1], [{codes - 1}, 0.2]]"))
            .Append(draw.Perhaps(4, $", linearity_y: [[0, 0], [{codes / 3}, 0.7], [{codes - 1}, 0]]"))
            .Append(draw.Perhaps(4, ", crosstalk: {x_from_y: 0.0004, y_from_x: -0.0002}"))
            .Append(draw.Perhaps(5, $", usable_x: [{codes / 60}, {codes - 1 - codes / 70}]"))
            .Append("}\nsettle: {")
            .Append(draw.Below(3) switch
            {
                0 => $"fixed: {draw.From(1, 20)} us, table: [[1 um, 5 us], [10 um, {draw.From(6, 20)} us], [90 um, 60 us]]",
                1 => $"fixed: {draw.From(1, 20)} us, time_constant: {draw.From(1, 9)} us, cancel_lag: {draw.One("yes", "no")}",
                _ => $"time_constant: {draw.From(1, 9)} us, slew: {draw.From(1, 20)} um/us",
            })
            .Append($"}}\nclock: {{rate: {clock} MHz, shortest_dwell: {draw.From(1, 3)} ticks, longest_dwell: {draw.One("65535", "16777215", "4000")} ticks}}\n")
            .Append(draw.Rarely(6)
                ? "blanker: none\n"
                : $"blanker: {{active: {draw.One("high", "low")}, off_delay: {Tenths(draw.From(0, 30))} us, on_delay: {Tenths(draw.From(0, 30))} us, leak: {draw.One("0 %", "0 %", "0.3 %", "2 %")}, compensate: {draw.One("yes", "yes", "no")}{draw.Perhaps(3, ", shortest_pulse: 3 us")}{draw.Perhaps(3, ", scan_enable_delay: 2 ms, scan_disable_delay: 1 ms")}}}\n")
            .Append($"beam: {{current: {draw.From(50, 400)} pA, spot: {draw.From(8, 40)} nm, energy: {draw.One("10", "20", "30")} keV{draw.Perhaps(3, ", later: {after: 1 h, current: 80 pA}")}}}\n")
            .Append($"link: {{rate: {draw.One("115200 baud", "1 MB/s", "12 MB/s")}, buffer: {draw.One("2 KiB", "64 KiB")}, latency: {draw.From(0, 4)} ms, interpolates_lines: {draw.One("yes", "no")}}}\n")
            .Append(draw.Perhaps(2, hasFine || bits > 16
                ? $"words: {{word_bits: 32, fields: [x {bits}, zero {32 - bits}, y {bits}, dwell {30 - bits}, blank 1, scan 1], byte_order: most significant first}}\n"
                : "words: {word_bits: 16, fields: [y 16, x 16, blank 1, dwell 15], byte_order: least significant first, bit_order: least significant first}\n"))
            .Append(hasStage ? $"stage: {{settle: 2 s, speed: 90 um/s, step: 1 um, origin: [{draw.From(-9, 9)} um, 3 um], invert_x: {draw.One("yes", "no")}, range_x: [-4 mm, 4 mm]}}\n" : "")
            .Append(draw.Perhaps(3, $"park: [{draw.From(-30, 30)} um, {draw.From(-30, 30)} um]\n"));
        return (text.ToString(), hasStage);
    }

    private static string ProcessOf(KeptDraw draw) =>
        $"process: case\ndose: {{area: {draw.From(150, 400)} uC/cm2, line: {Tenths(draw.From(5, 20))} nC/cm, dot: {draw.From(5, 40)} fC}}\n"
        + (draw.Rarely(3) ? $"resist: {{tone: negative, gel: {draw.From(60, 90)} uC/cm2, retention: {draw.From(95, 180)} uC/cm2" : $"resist: {{onset: {draw.From(60, 90)} uC/cm2, clearing: {draw.From(95, 180)} uC/cm2")
        + draw.Perhaps(2, $", thickness: {draw.From(100, 900)} nm") + "}\n"
        + draw.Perhaps(2, $"substrate: {draw.One("silicon", "fused silica", "gallium arsenide", "gold")}\n")
        + $"spread: {{forward: {draw.From(10, 60)} nm, backscatter: {Tenths(draw.From(15, 60))} um, ratio: 0.{draw.From(3, 9)}{draw.Perhaps(3, ", middle: 300 nm, middle_ratio: 0.1")}{draw.Perhaps(4, ", tail: 1 um, tail_ratio: 0.05")}}}\n";

    private static string JobOf(KeptDraw draw, bool hasStage, double code)
    {
        string fill = FillOf(draw, code);
        var text = new StringBuilder("job: case\nsources: [{file: a.layout");
        text.Append(draw.Perhaps(3, $", offset: [{draw.From(-5, 5)} um, {draw.From(-5, 5)} um], rotate: {draw.One("30 deg", "90 deg", "7 deg")}")).Append("}]\n")
            .Append(draw.Perhaps(4, "operations: [{layer: made, from: pads without (lines grown by 100 nm)}, {layer: frame, from: frame 1 um around pads}]\nwrite: [made, frame, lines, heights]\n"))
            .Append(draw.Perhaps(3, $"bias: {{distance: {draw.From(-15, 15)} nm, corners: {draw.One("mitred", "round", "square")}}}\n"))
            .Append($"position: {draw.One("as drawn", "centred")}\n")
            .Append($"chord_error: {draw.One("1 nm", "5 nm", "30 nm")}\n")
            .Append($"fracture: {{direction: {draw.One("horizontal", "vertical", "automatic")}, dose_overlap: {draw.One("highest", "lowest", "first", "highest", "sum")}{draw.Perhaps(3, ", largest_figure: 1500 nm")}{draw.Perhaps(3, ", sliver: 30 nm")}{draw.Perhaps(4, ", smoothing: 4 nm")}}}\n")
            .Append(draw.Perhaps(4, $"correct: {{target: {draw.One("edge", "average")}, iterations: {draw.From(3, 20)}, dose_classes: {draw.One("0", "12")}, smallest_piece: 300 nm}}\n"))
            .Append($"fill: {{{fill}}}\n")
            .Append($"order: {{by: {draw.One("short travel", "as given", "x", "y")}, dose: {draw.One("mixed", "mixed", "lowest first", "highest first")}, trials: {draw.One("0", "300")}, travel: {draw.One("straight", "straight", "hidden")}}}\n");
        if (!text.ToString().Contains("operations", StringComparison.Ordinal))
        {
            text.Append($"layers: [{{layer: lines, dose_factor: 1.{draw.From(1, 9)}}}, {{layer: pads{draw.Perhaps(2, $", fill: {{{FillOf(draw, code)}}}")}{draw.Perhaps(3, ", area_dose: 210 uC/cm2")}{draw.Perhaps(3, ", bias: -8 nm")}}}{draw.Perhaps(9, ", {layer: heights, values: heights}")}]\n");
        }

        if (hasStage && draw.Rarely(2))
        {
            text.Append($"fields: {{width: {draw.From(14, 25)} um, height: {draw.From(14, 25)} um, margin: {draw.From(1, 4)} um, order: {draw.One("serpentine", "rows", "shortest")}")
                .Append(draw.Below(3) switch { 0 => ", seam: overlap, seam_width: 700 nm", 1 => ", seam: taper, seam_width: 900 nm, taper_steps: 4", _ => "" })
                .Append(draw.Perhaps(3, ", marks: {layer: field marks, written: first, shape: cross, size: 2 um, bar: 300 nm, at: [[-6 um, 6 um], [6 um, -6 um]]}")).Append("}\n");
        }

        text.Append(draw.Perhaps(25, "nets: {left: [[-4 um, 0 um]], right: [[5 um, 1 um], [6 um, 2 um]]}\n"))
            .Append($"markers: {draw.One("yes", "no")}\nstrict: {draw.One("no", "no", "no", "yes")}\nprovenance: a.json\nplaces: a.places\nkeep: {{layout: k.layout, figures: k.figures, strokes: k.strokes, records: k.records, binary: {draw.One("yes", "no")}}}\n");

        // Not "wav": a sample for every tick makes gigabytes of a second of writing.
        string[] formats = ["stream", "words", "records", "volts", "npy", "gcode", "vcd"];
        string[] endings = ["stream", "words", "records", "volts", "npy", "ngc", "vcd"];
        (int first, int second) = (draw.Below(7), draw.Below(7));
        text.Append($"outputs: [{{file: o1.{endings[first]}, format: {formats[first]}}}{(second != first ? $", {{file: o2.{endings[second]}, format: {formats[second]}}}" : "")}]\n");
        return text.ToString();
    }

    private static string FillOf(KeptDraw draw, double code)
    {
        bool inCodes = draw.Rarely(2);
        string Spacing(int least, int most) => draw.Rarely(9) ? "automatic" : inCodes ? $"{(int)Math.Ceiling(draw.From(least, most) / code)} codes" : $"{draw.From(least, most)} nm";
        string strategy = draw.One("lines", "one-way lines", "raster", "one-way raster", "contour then lines", "inward contours");
        int passes = draw.Rarely(3) ? draw.From(2, 3) : 1;
        return $"strategy: {strategy}, direction: {draw.One("x", "y", "long side")}, line_pitch: {Spacing(40, 110)}, point_step: {Spacing(25, 80)}, "
            + $"placement: {(inCodes ? draw.One("automatic", "automatic", "weighted", "rounded", "centre") : draw.One("automatic", "rounded"))}, passes: {passes}"
            + (passes > 1 && inCodes ? $", stagger_passes: {draw.One("yes", "no")}" : "") + (strategy is "lines" or "one-way lines" ? $", interlace: {draw.From(1, 3)}" : "");
    }

    private static string DrawingOf(KeptDraw draw)
    {
        var text = new StringBuilder("layout 1\nunit um\nlayer pads\nlayer lines\nlayer heights\ncell pair\n  rect on lines from (0, 0) to (0.4, 1.2)\n  circle on pads at (1, 0.5) radius 0.3\nend\n");
        int shapes = draw.From(2, 6);
        for (int i = 0; i < shapes; i++)
        {
            (int x, int y, int w, int h) = (draw.From(-60, 60), draw.From(-60, 60), draw.From(3, 30), draw.From(3, 30));
            string on = $"on {draw.One("pads", "lines", "pads", "heights")} dose {draw.One("1", "1", "0.8", "1.3", "0.5")}";
            text.Append(draw.Below(10) switch
            {
                0 or 1 => $"rect {on} from {At(x, y)} to {At(x + w, y + h)}\n",
                2 => $"polygon {on} {At(x, y)} {At(x + w, y + 3)} {At(x + 2, y + h + 3)}\n",
                3 => $"circle {on} at {At(x, y)} radius {Tenths(w)}\n",
                4 => $"ring {on} at {At(x, y)} inner {Tenths(w / 3)} outer {Tenths(w)}\n",
                5 => $"path {on} width 0.25 ends {draw.One("flat", "round", "square")} {At(x, y)} {At(x + w, y)} {At(x + w, y + h)}\n",
                6 => $"line {on} {At(x, y)} {At(x + w, y - h)} {At(x - w, y - h)}\n",
                7 => $"dot {on} at {At(x, y)}\n",
                8 => $"array pair at {At(x, y)} columns {draw.From(1, 3)} rows {draw.From(1, 3)} column-step 2 row-step (0.3, 2.5) rotate {draw.One("0", "30")} column-dose 0.1\n",
                _ => $"text \"{draw.One("A1", "R7", "%x")}\" {on} at {At(x, y)} height {Tenths(h)} width 0.2\n",
            });
        }

        return text.ToString();
    }

    private static string At(int x, int y) => $"({Tenths(x)}, {Tenths(y)})";

    private static string Tenths(int number) => (number / 10m).ToString("0.0", CultureInfo.InvariantCulture);
}
