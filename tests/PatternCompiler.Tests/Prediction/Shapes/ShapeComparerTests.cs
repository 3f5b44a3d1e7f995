using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Shapes;

namespace PatternCompiler.Tests.Prediction.Shapes;

public class ShapeComparerTests
{
    // One grid step is a nanometre, so that places read alike in both.
    private const long Grid = 1000;
    private const double Reach = 100;

    public static TheoryData<string, int[][], int[][], string> Faults => new()
    {
        { "a short", [[0, 0, 400, 2000], [800, 0, 1200, 2000]], [[0, 0, 400, 2000], [800, 0, 1200, 2000], [400, 900, 800, 905]], "Shorted 400,900,800,905" },
        { "a short beside edges that print too wide", [[0, 0, 400, 2000], [800, 0, 1200, 2000]], [[-20, -20, 420, 2020], [780, -20, 1220, 2020], [400, 900, 800, 950]], "Shorted 400,900,800,950" },
        { "an upright short", [[0, 0, 2000, 400], [0, 800, 2000, 1200]], [[0, -20, 2000, 420], [0, 780, 2000, 1220], [900, 400, 950, 800]], "Shorted 900,420,950,780" },
        { "two shorts between two areas", [[0, 0, 400, 2000], [800, 0, 1200, 2000]], [[0, 0, 400, 2000], [800, 0, 1200, 2000], [400, 200, 800, 250], [400, 1500, 800, 1550]], "Shorted 400,200,800,250; Shorted 400,1500,800,1550" },
        { "an open", [[0, 0, 300, 2000]], [[0, 0, 300, 800], [0, 850, 300, 2000]], "Open 0,800,300,850" },
        { "an open in an edge that prints too narrow", [[0, 0, 300, 2000]], [[20, 20, 280, 800], [20, 850, 280, 1980]], "Open 0,800,300,850" },
        { "a bridge between two arms of one area", [[0, 0, 2000, 300], [0, 300, 300, 2000], [1000, 300, 1300, 2000]], [[0, 0, 2000, 300], [0, 300, 300, 2000], [1000, 300, 1300, 2000], [300, 1200, 1000, 1260]], "Bridge 300,1200,1000,1260" },
        { "a ring cut once", Frame(0, 0, 2000, 300), [.. Frame(0, 0, 2000, 300)[..3], [0, 300, 300, 800], [0, 900, 300, 1700]], "Cut 0,800,300,900" },
        { "a ring cut twice", Frame(0, 0, 2000, 300), [.. Frame(0, 0, 2000, 300)[..2], [0, 300, 300, 800], [0, 900, 300, 1700], [1700, 300, 2000, 800], [1700, 900, 2000, 1700]], "Open 0,800,300,900; Open 1700,800,2000,900" },
        { "a lost figure", [[0, 0, 400, 400], [1000, 0, 1400, 400]], [[0, 0, 400, 400]], "Lost 1000,0,1400,400" },
        { "a lost ring is not cut", [[0, 0, 400, 400], .. Frame(1000, 0, 1000, 100)], [[0, 0, 400, 400]], "Lost 1000,0,2000,1000" },
        { "an island", [[0, 0, 400, 400]], [[0, 0, 400, 400], [900, 0, 910, 10]], "Island 900,0,910,10" },
        { "an island that is a ring is no bridge", [[0, 0, 400, 400]], [[0, 0, 400, 400], .. Frame(1000, 0, 500, 100)], "Island 1000,0,1500,500" },
        { "a hole", [[0, 0, 2000, 2000]], Frame(0, 0, 2000, 990), "Hole 990,990,1010,1010" },
        { "a hole larger than an edge error", [[0, 0, 2000, 2000]], Frame(0, 0, 2000, 500), "Hole 500,500,1500,1500" },
        { "a filled hole", Frame(0, 0, 1000, 400), [[0, 0, 1000, 1000]], "FilledHole 400,400,600,600" },
        { "the missing end of a line", [[0, 0, 300, 2000]], [[0, 0, 300, 1500]], "MissingPart 0,1600,300,2000" },
        { "an end withdrawn by an edge error", [[0, 0, 300, 2000]], [[0, 0, 300, 1901]], "" },
        { "a missing finger of a comb", [[0, 0, 2000, 300], [0, 300, 90, 2000], [1000, 300, 1090, 2000]], [[0, 0, 2000, 300], [0, 300, 90, 2000]], "MissingPart 1000,400,1090,2000" },
        { "a stub", [[0, 0, 300, 2000]], [[0, 0, 300, 2000], [300, 1000, 700, 1040]], "ExcessPart 400,1000,700,1040" },
        { "areas that touch in a point, printed as one", [[0, 0, 400, 400], [400, 400, 800, 800]], [[0, 0, 400, 400], [400, 400, 800, 800], [380, 380, 420, 420]], "" },
        { "areas that touch in a point, printed apart", [[0, 0, 400, 400], [400, 400, 800, 800]], [[0, 0, 400, 390], [400, 410, 800, 800]], "" },
        { "areas side by side", [[0, 0, 400, 400], [400, 0, 800, 400]], [[0, 0, 800, 400]], "" },
        { "an area within a hole of another", [.. Frame(0, 0, 2000, 300), [800, 800, 1200, 1200]], [.. Frame(10, 10, 1980, 280), [790, 790, 1210, 1210]], "" },
        { "a print finer than a pixel", [[0, 0, 20, 20]], [[8, 8, 12, 12]], "Lost 0,0,20,20" },
    };

    [Theory]
    [MemberData(nameof(Faults))]
    public void Every_fault_is_told_once_where_it_is(string name, int[][] drawn, int[][] printed, string expected)
    {
        Assert.NotEmpty(name);
        Assert.Equal(expected, Text(Compare(Areas(printed), Areas(drawn))));

        // The same pattern turned by a quarter, whose rows run the other way.
        ShapeReport turned = Compare(Areas(printed).Transposed(), Areas(drawn).Transposed());
        Assert.Equal(
            expected.Length == 0 ? [] : expected.Split("; ").Select(fault => fault.Split(' ')[0]),
            turned.Faults.Select(fault => fault.Kind.ToString()));
    }

    [Fact]
    public void Edges_that_print_off_by_less_than_gaps_and_widths_are_no_faults() =>
        Gen.Select(Gen.Int[1, 7].Array[12], Gen.Int[-40, 40].Array[48], Gen.Int[20, 100]).Sample((sizes, moves, pitch) =>
        {
            var drawn = new List<int[]>();
            var printed = new List<int[]>();
            for (int i = 0; i < 12; i++)
            {
                (int x, int y) = (i % 4 * 1000, i / 4 * 1000);
                int side = 100 + sizes[i] * pitch;
                drawn.Add([x, y, x + side, y + side]);
                printed.Add([x + moves[4 * i], y + moves[4 * i + 1], x + side + moves[4 * i + 2], y + side + moves[4 * i + 3]]);
            }

            Assert.Equal("", Text(Compare(Areas([.. printed]), Areas([.. drawn]))));
        }, iter: Iterations.Usually(60));

    [Fact]
    public void In_a_window_only_what_meets_it_is_told()
    {
        ContourSet drawn = Areas([[0, 0, 400, 400], [1000, 0, 1400, 400]]);
        Assert.True(ShapeComparer.Run(ContourSet.Empty, drawn, Grid, 5, Reach, new SampleWindow(500, 0, 900, 400), CancellationToken.None).IsSound);
        Assert.Equal(
            "Lost 1000,0,1400,400",
            Text(ShapeComparer.Run(ContourSet.Empty, drawn, Grid, 5, Reach, new SampleWindow(500, 0, 1100, 400), CancellationToken.None)));
    }

    [Fact]
    public void Faults_of_one_kind_that_lie_close_together_are_one_cluster()
    {
        ShapeReport report = Compare(ContourSet.Empty, Areas([[0, 0, 400, 400], [1000, 0, 1400, 400], [9000, 0, 9400, 400]]));
        Assert.Equal("3 lost figures", ShapeText.Counts(report));
        Assert.Equal(
            [new ShapeCluster(ShapeFaultKind.Lost, 2, new SampleWindow(0, 0, 1400, 400)), new ShapeCluster(ShapeFaultKind.Lost, 1, new SampleWindow(9000, 0, 9400, 400))],
            report.Clusters().ToArray());
    }

    private static ShapeReport Compare(ContourSet printed, ContourSet drawn) =>
        ShapeComparer.Run(printed, drawn, Grid, 5, Reach, null, CancellationToken.None);

    private static string Text(ShapeReport report) => string.Join(
        "; ", report.Faults.Select(f => $"{f.Kind} {Near(f.Window.Left)},{Near(f.Window.Bottom)},{Near(f.Window.Right)},{Near(f.Window.Top)}"));

    // Rows are 5 apart: places are as good as that.
    private static int Near(double length) => 10 * (int)Math.Floor((length + 5) / 10) is var tens && Math.Abs(length - tens) < 3 ? tens : (int)Math.Round(length / 5) * 5;

    private static int[][] Frame(int x, int y, int side, int bar) =>
    [
        [x, y, x + side, y + bar], [x, y + side - bar, x + side, y + side],
        [x + side - bar, y + bar, x + side, y + side - bar], [x, y + bar, x + bar, y + side - bar],
    ];

    private static ContourSet Areas(int[][] rectangles)
    {
        var rings = new ContourSetBuilder();
        foreach (int[] r in rectangles)
        {
            rings.AddRing([new(r[0], r[1]), new(r[2], r[1]), new(r[2], r[3]), new(r[0], r[3])]);
        }

        return RegionBoolean.Merge(rings.ToContourSet());
    }
}
