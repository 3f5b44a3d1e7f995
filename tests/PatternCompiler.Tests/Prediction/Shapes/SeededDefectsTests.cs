using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Tests.Prediction.Shapes;

/// <summary>Two hundred defects, each put into the records of a pattern that prints as drawn, replayed and developed.</summary>
public class SeededDefectsTests
{
    // A code is 10 nm; rows and points stand two codes apart, and a point of one tick gives the base dose.
    private const int Nanometres = 10;
    private const int Step = 20;
    private const long BaseTicks = 100;
    private const double Dose = 1;

    private static readonly Dac Converters = new(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode);
    private static readonly RecordsHeader Header = new("m", Converters, 1e6, 1, 1_000_000, 10, 10, false);

    // Two combs, a ring, two squares close together, and four apart. Left, bottom, right, top in nanometres.
    private static readonly int[][] Figures =
    [
        [0, 0, 2240, 300], [0, 300, 260, 1500], [800, 300, 1060, 1500], [1600, 300, 1860, 1500],
        [0, 1800, 2240, 2100], [420, 600, 640, 1800], [1220, 600, 1440, 1800], [2020, 600, 2240, 1800],
        [2600, 1100, 3500, 1300], [2600, 1800, 3500, 2000], [2600, 1300, 2800, 1800], [3300, 1300, 3500, 1800],
        [2600, -600, 2800, -400], [2860, -600, 3060, -400],
        [2600, 0, 2800, 200], [3100, 0, 3300, 200], [2600, 500, 2800, 700], [3100, 500, 3300, 700],
    ];

    private static readonly int[] CombFingers = [1, 2, 3, 5, 6, 7];
    private static readonly DrawnPattern Drawn = DrawnPattern.OfAreas(Outlines());

    [Fact]
    public void The_pattern_prints_as_drawn() => Assert.Equal("", Judge(Records(_ => BaseTicks)));

    [Fact]
    public void A_bridge_of_one_row_is_a_short() => Repeat(30, i =>
    {
        // Across the gap to the right of one of five fingers that have a neighbour.
        int[] from = Figures[new[] { 1, 5, 2, 6, 3 }[i % 5]];
        int y = 700 + Step * (i % 30);
        return ("Shorted", [.. Records(_ => BaseTicks), .. Row(from[2] - 40, from[2] + 200, y, 5 * BaseTicks)]);
    });

    [Fact]
    public void Missing_rows_are_an_open() => Repeat(30, i =>
    {
        int finger = CombFingers[i % 6];
        int y = 800 + Step * (i % 15);
        return ("Open", Records((figure, row) => figure == finger && row > y && row < y + 260 ? 0 : BaseTicks));
    });

    [Fact]
    public void Missing_rows_cut_a_ring() => Repeat(20, i =>
    {
        int side = 10 + i % 2;
        int y = 1340 + Step * (i % 8);
        return ("Cut", Records((figure, row) => figure == side && row > y && row < y + 260 ? 0 : BaseTicks));
    });

    [Fact]
    public void A_figure_that_is_left_out_is_lost() => Repeat(20, i => ("Lost", Records(figure => figure == 14 + i % 4 ? 0 : BaseTicks)));

    [Fact]
    public void A_figure_of_too_little_dose_is_lost() => Repeat(20, i => ("Lost", Records(figure => figure == 14 + i % 4 ? BaseTicks * (20 + i) / 100 : BaseTicks)));

    [Fact]
    public void A_finger_of_too_little_dose_is_missing() => Repeat(20, i =>
        ("MissingPart", Records(figure => figure == CombFingers[i % 6] ? BaseTicks * (20 + i) / 100 : BaseTicks)));

    [Fact]
    public void Two_figures_of_too_much_dose_are_a_short() => Repeat(10, i =>
        ("Shorted", Records(figure => figure is 12 or 13 ? BaseTicks * (32 + i) / 10 : BaseTicks)));

    [Fact]
    public void A_stray_dot_is_an_island() => Repeat(30, i =>
        ("Island", [.. Records(_ => BaseTicks), DeflectionRecord.Jump(Code(4000 + 30 * i), Code(300 + 20 * i), 10), DeflectionRecord.Dot(Code(4000 + 30 * i), Code(300 + 20 * i), 30 * BaseTicks)]));

    [Fact]
    public void Ground_left_out_within_an_area_is_a_hole() => Repeat(10, i =>
        ("Hole", [.. Records(figure => figure == 0 ? 0 : BaseTicks), .. Holed(Figures[0], 300 + 100 * i, 120)]));

    [Fact]
    public void A_hole_that_is_written_over_is_filled() => Repeat(10, i =>
        ("FilledHole", [.. Records(_ => BaseTicks), .. Area([2800, 1300, 3300, 1800], (_, _) => BaseTicks * (100 + 5 * i) / 100)]));

    private static void Repeat(int times, Func<int, (string Kind, DeflectionRecord[] Records)> seed) => Parallel.For(0, times, i =>
    {
        (string kind, DeflectionRecord[] records) = seed(i);
        Assert.Equal(kind, Judge(records));
    });

    /// <summary>The kinds of all faults.</summary>
    private static string Judge(DeflectionRecord[] records)
    {
        var map = new ChargeMap(10);
        var machine = new Machine(
            "m", Converters, new Deflection(655_360, 655_360, false, false, false, AffineCalibration.Identity), new SettleModel(0, 0, 0),
            new Clock(1e6, 1, 1_000_000), new Blanker(true, true, 0, 0, 0), new Beam(Dose * Step * Step * 1e-18 / (BaseTicks * 1e-6), 20, 30_000), new Link(1e6, 4096, true));
        var replay = new ExposureReplay(machine, map);
        replay.Begin(Header);
        replay.Write(records);
        replay.End();
        var options = new SimulationOptions(new SpreadFunction([new(SpreadShape.Gaussian, 30, 1)]), 20, Dose / 2);
        ShapeReport shapes = Developer.Run(map, Drawn, options, CancellationToken.None).Shapes!;
        return string.Join(" ", shapes.Faults.Select(fault => fault.Kind));
    }

    private static DeflectionRecord[] Records(Func<int, long> ticks) => Records((figure, _) => ticks(figure));

    private static DeflectionRecord[] Records(Func<int, int, long> ticks) =>
        [.. Figures.SelectMany((figure, i) => Area(figure, (_, row) => ticks(i, row)))];

    private static IEnumerable<DeflectionRecord> Area(int[] figure, Func<int, int, long> ticks)
    {
        for (int y = figure[1] + Step / 2; y < figure[3]; y += Step)
        {
            foreach (DeflectionRecord record in Row(figure[0] + Step / 2, figure[2] - Step / 2, y, ticks(0, y)))
            {
                yield return record;
            }
        }
    }

    // The rows of an area but for a square in the middle of its height.
    private static IEnumerable<DeflectionRecord> Holed(int[] figure, int left, int side)
    {
        int middle = (figure[1] + figure[3]) / 2;
        for (int y = figure[1] + Step / 2; y < figure[3]; y += Step)
        {
            bool isThrough = Math.Abs(y - middle) < side / 2;
            IEnumerable<DeflectionRecord> row = isThrough
                ? [.. Row(figure[0] + Step / 2, left - Step / 2, y, BaseTicks), .. Row(left + side + Step / 2, figure[2] - Step / 2, y, BaseTicks)]
                : Row(figure[0] + Step / 2, figure[2] - Step / 2, y, BaseTicks);
            foreach (DeflectionRecord record in row)
            {
                yield return record;
            }
        }
    }

    private static DeflectionRecord[] Row(int from, int to, int y, long ticks)
    {
        int points = (to - from) / Step + 1;
        return ticks == 0 ? [] : [DeflectionRecord.Jump(Code(from), Code(y), 10), DeflectionRecord.Line(Code(from), Code(y), Code(to), Code(y), points, points * ticks)];
    }

    private static int Code(int nanometres) => 32768 + nanometres / Nanometres;

    private static ContourSet Outlines()
    {
        var rings = new ContourSetBuilder();
        foreach (int[] f in Figures)
        {
            rings.AddRing([new(10 * f[0], 10 * f[1]), new(10 * f[2], 10 * f[1]), new(10 * f[2], 10 * f[3]), new(10 * f[0], 10 * f[3])]);
        }

        return RegionBoolean.Merge(rings.ToContourSet());
    }
}
