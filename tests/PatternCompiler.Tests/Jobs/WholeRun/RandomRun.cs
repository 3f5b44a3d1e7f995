using System.Text;
using CsCheck;
using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Tests.Jobs.WholeRun;

/// <summary>A machine as a person would describe it, with the mapping from codes to the sample worked out by hand.</summary>
internal sealed record RandomMachine(
    int Bits, int LowVolts, int HighVolts, string Coding, bool LastCode, int WidthUm, int HeightUm, bool InvertX, bool InvertY, bool Swap, double[] Affine)
{
    public int FixedUs { get; init; }

    public double TauUs { get; init; }

    public int SlewUmPerUs { get; init; }

    public int ClockMHz { get; init; }

    public int ShortestTicks { get; init; }

    public int CurrentPicoamperes { get; init; }

    /// <summary>Off and on delay in ticks, or null without a blanker.</summary>
    public (int Off, int On)? Delays { get; init; }

    public bool ActiveHigh { get; init; }

    public bool InterpolatesLines { get; init; }

    public double Span => Math.Pow(2, Bits) - (LastCode ? 1 : 0);

    /// <summary>Unsigned nanometres of a code, by output.</summary>
    public (double X, double Y) CodeNm => Swap ? (HeightUm * 1e3 / Span, WidthUm * 1e3 / Span) : (WidthUm * 1e3 / Span, HeightUm * 1e3 / Span);

    /// <summary>Unsigned nanometres of a code, by axis of the sample.</summary>
    public (double X, double Y) SampleStepNm => (WidthUm * 1e3 / Span, HeightUm * 1e3 / Span);

    /// <summary>Where on the sample a pair of codes sends the beam, in nanometres.</summary>
    public (double X, double Y) PlaceOf(long codeX, long codeY)
    {
        (double alongX, double alongY) = Swap ? (codeY, codeX) : (codeX, codeY);
        double x = (alongX / Span - 0.5) * WidthUm * 1e3 * (InvertX ? -1 : 1) - Affine[4];
        double y = (alongY / Span - 0.5) * HeightUm * 1e3 * (InvertY ? -1 : 1) - Affine[5];
        double determinant = Affine[0] * Affine[3] - Affine[1] * Affine[2];
        return ((Affine[3] * x - Affine[1] * y) / determinant, (Affine[0] * y - Affine[2] * x) / determinant);
    }

    /// <summary>Ticks of a jump over so many codes, not yet rounded up (single pole behind a speed limit, to half a code).</summary>
    public double SettleTicks(long codesX, long codesY)
    {
        return Math.Max(FixedUs, Math.Max(Axis(codesX, CodeNm.X), Axis(codesY, CodeNm.Y))) * ClockMHz;

        double Axis(long codes, double nm)
        {
            (double way, double left, double tau, double speed) = (Math.Abs(codes) * nm, nm / 2, TauUs, SlewUmPerUs * 1e3);
            if (way <= left)
            {
                return 0;
            }

            if (speed == 0)
            {
                return tau * Math.Log(way / left);
            }

            // At the limit of speed until the exponential would be slower.
            double fast = Math.Max(0, way - Math.Max(speed * tau, left));
            return fast / speed + (way - fast > left ? tau * Math.Log((way - fast) / left) : 0);
        }
    }

    public string Yaml => $$"""
        machine: bench
        dac: {bits: {{Bits}}, lowest: {{LowVolts}} V, highest: {{HighVolts}} V, coding: {{Coding}}, full_scale: {{(LastCode ? "last code" : "one beyond last code")}}}
        deflection:
          field_width: {{WidthUm}} um
          field_height: {{HeightUm}} um
          invert_x: {{Flag(InvertX)}}
          invert_y: {{Flag(InvertY)}}
          swap_axes: {{Flag(Swap)}}
          calibration: {xx: {{Affine[0]}}, xy: {{Affine[1]}}, yx: {{Affine[2]}}, yy: {{Affine[3]}}, offset_x: {{Affine[4]}} nm, offset_y: {{Affine[5]}} nm}
        settle: {fixed: {{FixedUs}} us, time_constant: {{TauUs}} us{{(SlewUmPerUs > 0 ? $", slew: {SlewUmPerUs} um/us" : "")}}}
        clock: {rate: {{ClockMHz}} MHz, shortest_dwell: {{ShortestTicks}} ticks, longest_dwell: 16777215 ticks}
        blanker: {{(Delays is (int off, int on) ? $"{{active: {(ActiveHigh ? "high" : "low")}, off_delay: {(decimal)off / ClockMHz} us, on_delay: {(decimal)on / ClockMHz} us, compensate: yes}}" : "none")}}
        beam: {current: {{CurrentPicoamperes}} pA, spot: 20 nm, energy: 30 keV}
        link: {rate: 8 MB/s, buffer: 64 KiB, interpolates_lines: {{Flag(InterpolatesLines)}}}
        """;

    public static Gen<RandomMachine> Any =>
        from bits in Gen.Int[12, 20]
        from volts in Gen.OneOf((-10, 10), (0, 5), (-5, 10))
        from coding in Gen.OneOf("straight", "offset binary", "two's complement")
        from flags in Gen.Bool.Array[6]
        from size in Gen.Select(Gen.Int[60, 120], Gen.Int[60, 120])
        from isSkewed in Gen.Bool
        from affine in Gen.Int[-20, 20].Array[6]
        from settle in Gen.Select(Gen.Int[0, 20], Gen.Int[0, 10], Gen.Int[0, 20])
        from clock in Gen.Select(Gen.Int[1, 20], Gen.Int[1, 5])
        from current in Gen.Int[50, 300]
        from delays in Gen.OneOf(Gen.Const(((int, int)?)null), Gen.Const(((int, int)?)(0, 0)), Gen.Select(Gen.Int[0, 9], Gen.Int[0, 9]).Select(d => ((int, int)?)d))
        select new RandomMachine(
            bits, volts.Item1, volts.Item2, coding, flags[0], size.Item1, size.Item2, flags[1], flags[2], flags[3],
            isSkewed
                ? [1 + affine[0] / 1000.0, affine[1] / 4000.0, affine[2] / 4000.0, 1 + affine[3] / 1000.0, affine[4] * 10.5, affine[5] * 10.5]
                : [1, 0, 0, 1, 0, 0])
        {
            FixedUs = settle.Item1,
            TauUs = settle.Item2 / 2.0,
            SlewUmPerUs = settle.Item3,
            ClockMHz = clock.Item1,
            ShortestTicks = clock.Item2,
            CurrentPicoamperes = current,
            Delays = delays,
            ActiveHigh = flags[4],
            InterpolatesLines = flags[5],
        };

    private static string Flag(bool value) => value ? "yes" : "no";
}

/// <summary>A drawn shape and what the definition of dose makes of it.</summary>
/// <param name="AreaUm2">Area, or 0.</param>
/// <param name="LengthUm">Length of a line without width, or 0.</param>
internal sealed record RandomShape(string Layer, string Text, decimal Dose, double AreaUm2, double LengthUm)
{
    public string Line => Text.Replace($"on {Layer}", $"on {Layer} dose {Dose}", StringComparison.Ordinal);

    /// <summary>A shape in a cell of its own of a grid of 12 µm, no larger than 4 µm.</summary>
    public static Gen<RandomShape> In(int column, int row) =>
        from kind in Gen.Int[0, 6]
        from layer in Gen.OneOf("fine", "coarse")
        from dose in Gen.Int[5, 20]
        from width in Gen.Int[2, 39]
        from height in Gen.Int[2, 39]
        from at in Gen.Select(Gen.Int[-9, 9], Gen.Int[-9, 9])
        select Of(kind, layer, dose / 10m, width / 10m, height / 10m, column * 12 + at.Item1 / 10m, row * 12 + at.Item2 / 10m);

    private static RandomShape Of(int kind, string layer, decimal dose, decimal w, decimal h, decimal x, decimal y)
    {
        (double width, double height) = ((double)w, (double)h);
        return kind switch
        {
            0 => new(layer, $"rect on {layer} from ({x}, {y}) to ({x + w}, {y + h})", dose, width * height, 0),
            1 => new(layer, $"polygon on {layer} ({x}, {y}) ({x + w}, {y + 0.3m}) ({x + 0.2m}, {y + h + 0.3m})", dose,
                0.5 * (double)(w * (h + 0.3m) - 0.3m * 0.2m), 0),
            2 => new(layer, $"circle on {layer} at ({x}, {y}) radius {w / 2}", dose, Math.PI * width * width / 4, 0),
            3 => new(layer, $"path on {layer} width 0.2 ({x}, {y}) ({x + w}, {y}) ({x + w}, {y + h})", dose, 0.2 * (width + height), 0),
            4 => new(layer, $"line on {layer} ({x}, {y}) ({x + w}, {y - h}) ({x - w}, {y - h})", dose, 0, Math.Sqrt(width * width + height * height) + 2 * width),
            5 => new(layer, $"line on {layer} ({x}, {y}) ({x}, {y + h})", dose, 0, height),
            _ => new(layer, $"dot on {layer} at ({x}, {y})", dose, 0, 0),
        };
    }
}

/// <summary>How areas are filled.</summary>
/// <param name="Pitch">Between lines, in codes or nanometres.</param>
/// <param name="Step">Between points, likewise.</param>
internal sealed record RandomFill(string Strategy, string Direction, bool InCodes, int Pitch, int Step, int Passes, int Interlace)
{
    /// <summary>Figures of one area, or side by side in a row, are written together, under the number of one of them.</summary>
    public bool JoinsFigures => Strategy is not ("lines" or "one-way lines");

    public string Yaml =>
        $"strategy: {Strategy}, direction: {Direction}, line_pitch: {Pitch} {(InCodes ? "codes" : "nm")}, point_step: {Step} {(InCodes ? "codes" : "nm")}, passes: {Passes}, interlace: {Interlace}";

    /// <summary>How far beyond a figure's edge a point may stand, a code and a half by rounding (ends, points between them, and where a line is cut for the blanker): where spacings are in codes, an edge is made by the doses of the points on both sides of it.</summary>
    public double ReachNm(double codeNm) => 1.6 * codeNm + (InCodes ? SpacingNm(codeNm) : 0);

    /// <summary>The larger spacing.</summary>
    public double SpacingNm(double codeNm) => Math.Max(Pitch, Step) * (InCodes ? codeNm : 1);

    /// <summary>Fills whose points are 30 to 150 nm apart.</summary>
    public static Gen<RandomFill> With(double codeNm) =>
        from strategy in Gen.OneOf([.. FillStrategy.All.Select(one => Gen.Const(one.Word))])
        from direction in Gen.OneOf("x", "y", "long side")
        from inCodes in Gen.Bool
        from pitch in Gen.Int[4, 15]
        from step in Gen.Int[3, 12]
        from passes in Gen.Int[1, 2]
        from interlace in Gen.Int[1, 2]
        select new RandomFill(
            strategy, direction, inCodes, Length(pitch, inCodes, codeNm), Length(step, inCodes, codeNm), passes, strategy is "lines" or "one-way lines" ? interlace : 1);

    private static int Length(int tens, bool inCodes, double codeNm) => inCodes ? (int)Math.Ceiling(tens * 10 / codeNm) : tens * 10;
}

/// <summary>A job, its machine and a drawing of shapes that do not touch.</summary>
internal sealed record RandomRun(RandomMachine Machine, RandomShape[] Shapes, RandomFill Fill, string Order, decimal FineFactor)
{
    public const double AreaDose = 3.0;       // C/m², 300 uC/cm2
    public const double LineDose = 1.5e-7;    // C/m, 1.5 nC/cm
    public const double DotCharge = 20e-15;

    public const string Process = "process: bench\ndose: {area: 300 uC/cm2, line: 1.5 nC/cm, dot: 20 fC}\nresist: {onset: 100 uC/cm2, clearing: 150 uC/cm2}\n";

    /// <summary>The layer 'fine' is written first, though the drawing names it last.</summary>
    public string Job => $$"""
        job: whole run
        markers: yes
        fill: {{{Fill.Yaml}}}
        order: {by: {{Order}}, trials: 300}
        layers: [{layer: fine, dose_factor: {{FineFactor}}}, {layer: coarse}]
        """;

    public string Drawing => $"layout 1\nunit um\nlayer coarse\nlayer fine\n{string.Concat(Shapes.Select(shape => shape.Line + "\n"))}";

    /// <summary>By the definition of dose, in coulombs.</summary>
    public double Charge => Shapes.Sum(shape => (double)shape.Dose * Factor(shape.Layer)
        * (shape.AreaUm2 > 0 ? shape.AreaUm2 * 1e-12 * AreaDose : shape.LengthUm > 0 ? shape.LengthUm * 1e-6 * LineDose : DotCharge));

    public double Factor(string layer) => layer == "fine" ? (double)FineFactor : 1;

    public override string ToString() => new StringBuilder().AppendLine(Machine.Yaml).AppendLine(Job).Append(Drawing).ToString();

    public static Gen<RandomRun> Any =>
        from machine in RandomMachine.Any
        from shapes in Gen.Select(Gen.Int[-1, 1], Gen.Int[-1, 1]).Array[1, 4].SelectMany(cells => Shaped([.. cells.Distinct()]))
        from fill in RandomFill.With(Math.Max(machine.SampleStepNm.X, machine.SampleStepNm.Y))
        from order in Gen.OneOf("short travel", "as given", "x", "y")
        from factor in Gen.Int[8, 12]
        select new RandomRun(machine, shapes, fill, order, factor / 10m);

    private static Gen<RandomShape[]> Shaped((int Column, int Row)[] cells) => cells.Length switch
    {
        1 => RandomShape.In(cells[0].Column, cells[0].Row).Select(a => new[] { a }),
        _ => Gen.Select(RandomShape.In(cells[0].Column, cells[0].Row), Shaped(cells[1..]), (first, rest) => (RandomShape[])[first, .. rest]),
    };
}
