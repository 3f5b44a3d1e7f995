using PatternCompiler.Geometry;

namespace PatternCompiler.Benchmarks.Geometry;

/// <summary>Generated polygon sets, on a grid of 1 nm. Seeded, so every run and every machine gets the same.</summary>
internal static class Workloads
{
    public static readonly string[] Names = ["w1", "w2", "w3", "w4", "w5", "w5s", "coast"];

    public static ContourSet Create(string name) => name switch
    {
        "w1" => Rectangles(100_000, 100_000),
        "w2" => Stars(20_000, 100_000),
        "w2x10" => Stars(200_000, 316_228),
        "w2x100" => Stars(2_000_000, 1_000_000),
        "coast" => Coastlines.Overlaid(20),
        "cell" => Cells(1000, 1),
        "cellx10000" => Cells(1000, 100),
        "w3" => ZonePlate(200, 2000),
        "w4" => Grating(),
        "w5" => Polyline(5000, longWalk: true),
        "w5s" => Polyline(5000, longWalk: false),
        _ => throw new ArgumentException($"There is no workload {name}."),
    };

    public static FillRule Rule(string name) =>
        name.StartsWith("w5", StringComparison.Ordinal) ? FillRule.EvenOdd : FillRule.NonZero;

    /// <summary>Rectangles of 0.2 to 2 µm a side in a square field; 100,000 in 100 µm cover it about 12 times.</summary>
    public static ContourSet Rectangles(int count, int field)
    {
        var random = new Random(1);
        var rings = new ContourSetBuilder();
        for (int i = 0; i < count; i++)
        {
            int width = random.Next(200, 2001), height = random.Next(200, 2001);
            int x = random.Next(field - width), y = random.Next(field - height);
            rings.AddRing([new(x, y), new(x + width, y), new(x + width, y + height), new(x, y + height)]);
        }

        return rings.ToContourSet();
    }

    /// <summary>Star-shaped polygons of 16 to 64 vertices and up to 1.5 µm radius; 20,000 in 100 µm cover it 3 times.</summary>
    public static ContourSet Stars(int count, int field)
    {
        var random = new Random(2);
        var rings = new ContourSetBuilder();
        for (int i = 0; i < count; i++)
        {
            int vertices = random.Next(16, 65);
            double radius = Uniform(random, 300, 1500);
            double x = Uniform(random, 1500, field - 1500), y = Uniform(random, 1500, field - 1500);
            for (int k = 0; k < vertices; k++)
            {
                double angle = (k + Uniform(random, 0.1, 0.9)) * (2 * Math.PI / vertices);
                double r = radius * Uniform(random, 0.5, 1);
                rings.Add(Round(x + (r * Math.Cos(angle)), y + (r * Math.Sin(angle))));
            }

            rings.EndRing();
        }

        return rings.ToContourSet();
    }

    /// <summary>A toothed wheel of many edges, in so many rows and columns that do not touch.</summary>
    public static ContourSet Cells(int vertices, int rows)
    {
        var rings = new ContourSetBuilder();
        for (int i = 0; i < rows * rows; i++)
        {
            for (int k = 0; k < vertices; k++)
            {
                double angle = k * 2 * Math.PI / vertices, radius = (k & 2) == 0 ? 5000 : 4800;
                GridPoint point = Round(radius * Math.Cos(angle), radius * Math.Sin(angle));
                rings.Add(new GridPoint(point.X + (i % rows * 11_000), point.Y + (i / rows * 11_000)));
            }

            rings.EndRing();
        }

        return rings.ToContourSet();
    }

    /// <summary>A zone plate of 50 µm radius: circles of many vertices, alternately outline and hole.</summary>
    public static ContourSet ZonePlate(int zones, int vertices)
    {
        double first = 50_000 / Math.Sqrt((2 * zones) + 1);
        var rings = new ContourSetBuilder();
        for (int zone = 1; zone <= zones; zone++)
        {
            AddCircle(rings, first * Math.Sqrt((2 * zone) + 1), vertices, 1);
            AddCircle(rings, first * Math.Sqrt(2 * zone), vertices, -1);
        }

        return rings.ToContourSet();
    }

    /// <summary>100 arrays of 500 bars, 50 nm by 10 µm at a pitch of 100 nm.</summary>
    public static ContourSet Grating()
    {
        var rings = new ContourSetBuilder();
        for (int j = 0; j < 10; j++)
        {
            for (int i = 0; i < 10; i++)
            {
                for (int k = 0; k < 500; k++)
                {
                    int x = (i * 60_000) + (k * 100), y = j * 12_000;
                    rings.AddRing([new(x, y), new(x + 50, y), new(x + 50, y + 10_000), new(x, y + 10_000)]);
                }
            }
        }

        return rings.ToContourSet();
    }

    /// <summary>
    /// One closed polyline that crosses itself: from anywhere to anywhere in 100 µm (5000 vertices cross about 2.8 million
    /// times), or in steps of at most 8 µm.
    /// </summary>
    public static ContourSet Polyline(int vertices, bool longWalk)
    {
        var random = new Random(5);
        var rings = new ContourSetBuilder();
        int x = 50_000, y = 50_000;
        for (int i = 0; i < vertices; i++)
        {
            x = longWalk ? random.Next(100_001) : Reflect(x + random.Next(-8000, 8001));
            y = longWalk ? random.Next(100_001) : Reflect(y + random.Next(-8000, 8001));
            rings.Add(new GridPoint(x, y));
        }

        return rings.ToContourSet();
    }

    private static void AddCircle(ContourSetBuilder rings, double radius, int vertices, int direction)
    {
        GridPoint previous = Round(radius * Math.Cos(-2 * Math.PI / vertices * direction), radius * Math.Sin(-2 * Math.PI / vertices * direction));
        for (int k = 0; k < vertices; k++)
        {
            double angle = direction * k * (2 * Math.PI / vertices);
            GridPoint point = Round(radius * Math.Cos(angle), radius * Math.Sin(angle));
            if (point != previous)
            {
                rings.Add(point);
            }

            previous = point;
        }

        rings.EndRing();
    }

    private static int Reflect(int value) => value < 0 ? -value : value > 100_000 ? 200_000 - value : value;

    private static double Uniform(Random random, double from, double to) => from + ((to - from) * random.NextDouble());

    private static GridPoint Round(double x, double y) => new((int)Math.Round(x), (int)Math.Round(y));
}
