using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Geometry.Regions;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// Chooses the places where areas with heights are looked at: an even lattice over what lies farther from their borders than these
/// are blurred. Of an area that is narrower than that, such as a step of a smooth slope, what lies so far inside all of them
/// together; if nothing does, the whole of it.
/// </summary>
internal sealed class HeightSampler
{
    private const double SmallestStepNanometres = 20;
    private const double MostSamples = 400_000;

    private readonly SimulationOptions options;
    private readonly double tile;
    private readonly SampleWindow? window;

    /// <summary>Chooses them.</summary>
    /// <param name="options">Areas, their grid, and how far borders are blurred.</param>
    /// <param name="tileNanometres">Side of a tile.</param>
    /// <param name="window">The only part of interest, or null.</param>
    public HeightSampler(SimulationOptions options, double tileNanometres, SampleWindow? window)
    {
        this.options = options;
        tile = tileNanometres;
        this.window = window;
        Narrow = new bool[options.Heights.Length];
        double step = Math.Max(SmallestStepNanometres, Math.Sqrt(options.Heights.Sum(height => SquareNanometres(height.Area)) / MostSamples));
        ContourSet? inside = null;
        for (int number = 0; number < options.Heights.Length; number++)
        {
            ContourSet area = options.Heights[number].Area;
            ContourSet seen = Shrunk(area);
            Narrow[number] = seen.Count == 0;
            if (Narrow[number])
            {
                inside ??= Shrunk(Together());
                seen = RegionBoolean.Compute(area, inside, BooleanOperation.Intersection, limits: options.Limits);
            }

            Sample(seen.Count == 0 ? area : seen, number, step);
        }
    }

    /// <summary>Whether each area is narrower than its borders' blur.</summary>
    public bool[] Narrow { get; }

    /// <summary>The places on each tile.</summary>
    public Dictionary<(int Column, int Row), List<HeightSample>> Places { get; } = [];

    private double Scale => options.GridPicometres * 1e-3;

    private double SquareNanometres(ContourSet area) => (double)ExactArea.Twice(area) / 2 * Scale * Scale;

    private ContourSet Shrunk(ContourSet area) =>
        RegionOffset.Compute(area, -options.CornerDistanceNanometres / Scale, new OffsetShape(OffsetJoin.Mitre), limits: options.Limits);

    private ContourSet Together()
    {
        var rings = new ContourSetBuilder();
        foreach (HeightArea height in options.Heights)
        {
            rings.AddAll(height.Area);
        }

        return RegionBoolean.Merge(rings.ToContourSet(), limits: options.Limits);
    }

    private void Sample(ContourSet area, int number, double step)
    {
        double latticeSteps = step / Scale;
        foreach (Trapezoid shape in TrapezoidDecomposition.Compute(area, limits: options.Limits))
        {
            for (double row = Math.Ceiling(shape.YBottom / latticeSteps - 0.5); (row + 0.5) * latticeSteps < shape.YTop; row++)
            {
                double y = (row + 0.5) * latticeSteps;
                double right = XAt(shape.Right, y);
                for (double column = Math.Ceiling(XAt(shape.Left, y) / latticeSteps - 0.5); (column + 0.5) * latticeSteps < right; column++)
                {
                    Add(new HeightSample((column + 0.5) * step, (row + 0.5) * step, number));
                }
            }
        }
    }

    private void Add(HeightSample sample)
    {
        if (window is { } part && !part.Contains(sample.X, sample.Y))
        {
            return;
        }

        (int, int) place = ((int)Math.Floor(sample.X / tile), (int)Math.Floor(sample.Y / tile));
        if (!Places.TryGetValue(place, out List<HeightSample>? list))
        {
            list = [];
            Places.Add(place, list);
        }

        list.Add(sample);
    }

    private static double XAt(in GridEdge edge, double y) =>
        edge.Lower.X + ((double)edge.Upper.X - edge.Lower.X) * (y - edge.Lower.Y) / ((double)edge.Upper.Y - edge.Lower.Y);
}

/// <summary>A place where the remaining film is looked at.</summary>
/// <param name="X">In nanometres.</param>
/// <param name="Y">In nanometres.</param>
/// <param name="Area">Number of the area with a height that it lies in.</param>
internal readonly record struct HeightSample(double X, double Y, int Area);
