using PatternCompiler.Passes.Order;

namespace PatternCompiler.Oracles.Passes.Order;

public sealed class TravelOrderTests
{
    // Optimal tours of standard instances: G. Reinelt, TSPLIB, ORSA J. Computing 3, 376 (1991). Coordinates from memory;
    // the published optima are for distances rounded to whole numbers (7542, 426 and 675), the values here are the
    // lengths of those tours without rounding (7544.37, 428.87, 677.11; from memory).
    public static TheoryData<string, double, string> Instances { get; } = new()
    {
        {
            "berlin52", 7544.37,
            "565 575 25 185 345 750 945 685 845 655 880 660 25 230 525 1000 580 1175 650 1130 1605 620 1220 580 1465 200 1530 5 "
            + "845 680 725 370 145 665 415 635 510 875 560 365 300 465 520 585 480 415 835 625 975 580 1215 245 1320 315 1250 400 "
            + "660 180 410 250 420 555 575 665 1150 1160 700 580 685 595 685 610 770 610 795 645 720 635 760 650 475 960 95 260 "
            + "875 920 700 500 555 815 830 485 1170 65 830 610 605 625 595 360 1340 725 1740 245"
        },
        {
            "eil51", 428.87,
            "37 52 49 49 52 64 20 26 40 30 21 47 17 63 31 62 52 33 51 21 42 41 31 32 5 25 12 42 36 16 52 41 27 23 17 33 13 13 57 58 "
            + "62 42 42 57 16 57 8 52 7 38 27 68 30 48 43 67 58 48 58 27 37 69 38 46 46 10 61 33 62 63 63 69 32 22 45 35 59 15 5 6 "
            + "10 17 21 10 5 64 30 15 39 10 32 39 25 32 25 55 48 28 56 37 30 40"
        },
        {
            "st70", 677.11,
            "64 96 80 39 69 23 72 42 48 67 58 43 81 34 79 17 30 23 42 67 7 76 29 51 78 92 64 8 95 57 57 91 40 35 68 40 92 34 62 1 "
            + "28 43 76 73 67 88 93 54 6 8 87 18 30 9 77 13 78 94 55 3 82 88 73 28 20 55 27 43 95 86 67 99 48 83 75 81 8 19 20 18 "
            + "54 38 63 36 44 33 52 18 12 13 25 5 58 85 5 67 90 9 41 76 25 76 37 64 56 63 10 55 98 7 16 74 89 60 48 82 81 76 29 60 "
            + "17 22 5 45 79 70 9 100 17 82 74 67 10 68 48 19 83 86 84 94"
        },
    };

    [Theory]
    [MemberData(nameof(Instances))]
    public void Tours_of_standard_instances_are_within_3_percent_of_the_optimum(string name, double optimum, string coordinates)
    {
        double[] numbers = [.. coordinates.Split(' ').Select(n => double.Parse(n, System.Globalization.CultureInfo.InvariantCulture))];
        TravelItem[] cities = [.. numbers.Chunk(2).Select(p => TravelItem.Dot(p[0], p[1]))];
        Assert.EndsWith(cities.Length.ToString(System.Globalization.CultureInfo.InvariantCulture), name, StringComparison.Ordinal);
        double length = Tour(cities);
        Assert.InRange(length, optimum - 0.01, 1.03 * optimum);
    }

    // Random uniform points: the shortest tour tends to 0.7124·√(N·A) (D. S. Johnson, L. A. McGeoch, E. E. Rothberg,
    // Proc. 7th ACM-SIAM Symp. Discrete Algorithms, 341 (1996); the constant also in Percus and Martin, Phys. Rev. Lett.
    // 76, 1188 (1996)). In a square with open sides it is a few percent longer for small N.
    [Theory]
    [InlineData(1_000)]
    [InlineData(10_000)]
    [InlineData(100_000)]
    [InlineData(150_000)]
    public void Tours_of_random_points_are_near_the_random_uniform_constant(int points)
    {
        var random = new Random(1);
        TravelItem[] items = [.. Enumerable.Range(0, points).Select(_ => TravelItem.Dot(random.NextDouble(), random.NextDouble()))];
        Assert.InRange(Tour(items) / Math.Sqrt(points), 0.7, 1.06 * 0.7124);
    }

    /// <summary>A lattice of N points one pitch apart has no tour shorter than N pitches; more points than are ordered at once come in tiles.</summary>
    [Theory]
    [InlineData(300)]
    [InlineData(380)]
    public void Lattices_are_written_with_hardly_a_detour(int side)
    {
        TravelItem[] items = [.. Enumerable.Range(0, side * side).Select(i => TravelItem.Dot(i % side, i / side))];
        Assert.InRange(Tour(items) / (side * (double)side), 1 - 1e-9, 1.02);
    }

    private static double Tour(TravelItem[] items) => TravelOrder.Find(
        items.AsMemory(1),
        new TravelOptions(AllowsReversal: true, items[0].Entry, items[0].Entry),
        CancellationToken.None).LengthAfter;
}
