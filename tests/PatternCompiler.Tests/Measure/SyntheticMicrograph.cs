using System.Collections.Immutable;
using CsCheck;
using MathNet.Numerics;
using PatternCompiler.Geometry;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Measure;

/// <summary>
/// Pictures of known truth: rectangles whose edges are straight steps, blurred by a Gaussian, with a crest and Poisson noise from a
/// seed. Each pixel is the signal at its middle; the blur includes the pixel's own.
/// </summary>
internal sealed record SyntheticMicrograph
{
    /// <summary>Left, bottom, right, top in nanometres, and dose factor; where some touch, there is neither bias nor crest.</summary>
    public required ImmutableArray<(double Left, double Bottom, double Right, double Top, double Dose)> Rectangles { get; init; }

    public int Width { get; init; } = 512;

    public int Height { get; init; } = 384;

    /// <summary>The true map.</summary>
    public PictureMap Map { get; init; } = PictureMap.Similar(0, 0, 5, 0);

    /// <summary>How far edges print outside of where they are drawn.</summary>
    public double Bias { get; init; }

    public double Blur { get; init; } = 8;

    public double Crest { get; init; }

    public double CrestWidth { get; init; } = 9;

    /// <summary>Signal where nothing is drawn, and where something is.</summary>
    public (double Outside, double Inside) Levels { get; init; } = (0.6, 0.35);

    /// <summary>Electrons in a pixel of signal 1; 0 for no noise.</summary>
    public double Electrons { get; init; } = 400;

    public ulong Seed { get; init; } = 1;

    /// <summary>Change of the signal from left to right.</summary>
    public double Shading { get; init; }

    /// <summary>What else moves a printed edge outward: rectangle, side (0 left, 1 bottom, 2 right, 3 top), place along the side.</summary>
    public Func<int, int, double, double>? Rough { get; init; }

    /// <summary>Which rectangles print.</summary>
    public Func<int, bool> Prints { get; init; } = _ => true;

    public FlatLayout Layout()
    {
        ImmutableArray<FlatLayer> groups =
        [
            .. Rectangles.GroupBy(r => r.Dose).OrderBy(g => g.Key).Select(group =>
            {
                var rings = new ContourSetBuilder();
                foreach (var r in group)
                {
                    rings.AddRing([new(Grid(r.Left), Grid(r.Bottom)), new(Grid(r.Right), Grid(r.Bottom)), new(Grid(r.Right), Grid(r.Top)), new(Grid(r.Left), Grid(r.Top))]);
                }

                return new FlatLayer(0, DoseFactor.FromValue(group.Key), rings.ToContourSet(), [], []);
            }),
        ];
        return new FlatLayout(100, ["A"], groups);
    }

    public double SignalAt(double x, double y)
    {
        double inside = 0, nearest = double.PositiveInfinity;
        for (int i = 0; i < Rectangles.Length; i++)
        {
            if (!Prints(i))
            {
                continue;
            }

            var r = Rectangles[i];
            double left = r.Left - Bias - (Rough?.Invoke(i, 0, y) ?? 0), right = r.Right + Bias + (Rough?.Invoke(i, 2, y) ?? 0);
            double bottom = r.Bottom - Bias - (Rough?.Invoke(i, 1, x) ?? 0), top = r.Top + Bias + (Rough?.Invoke(i, 3, x) ?? 0);
            inside += Step(x - left) * Step(right - x) * Step(y - bottom) * Step(top - y);
            double dx = Math.Max(left - x, x - right), dy = Math.Max(bottom - y, y - top);
            double distance = dx > 0 && dy > 0 ? Math.Sqrt(dx * dx + dy * dy) : Math.Max(dx, dy);
            nearest = Math.Abs(distance) < Math.Abs(nearest) ? distance : nearest;
        }

        double crest = Crest == 0 || double.IsInfinity(nearest) ? 0 : Crest * Math.Exp(-nearest * nearest / (2 * CrestWidth * CrestWidth));
        return Levels.Outside + (Levels.Inside - Levels.Outside) * inside + crest;
    }

    public Micrograph Render(int bits = 16)
    {
        var random = new PCG(0, Seed);
        double highest = Math.Pow(2, bits) - 1;
        var values = new float[Width * Height];
        for (int row = 0; row < Height; row++)
        {
            for (int column = 0; column < Width; column++)
            {
                (double x, double y) = Map.ToSample(column - (Width - 1) / 2.0, (Height - 1) / 2.0 - row);
                double signal = SignalAt(x, y) * (1 + Shading * ((double)column / Width - 0.5));
                double seen = Electrons > 0 ? Poisson(random, signal * Electrons) / Electrons : signal;
                values[row * Width + column] = (float)Math.Clamp(Math.Round(seen * highest * 0.8), 0, highest);
            }
        }

        return new Micrograph(Width, Height, values, bits, null);
    }

    /// <summary>Standard deviation of the noise at an edge's half height, as a part of the step.</summary>
    public double NoiseOverStep => Math.Sqrt((Levels.Outside + Levels.Inside) / 2 / Electrons) / Math.Abs(Levels.Outside - Levels.Inside);

    private double Step(double d) => Math.Abs(d) > 9 * Blur ? (d > 0 ? 1 : 0) : SpecialFunctions.Erfc(-d / (Math.Sqrt(2) * Blur)) / 2;

    private static int Grid(double nanometres) => (int)Math.Round(nanometres * 10);

    // Normal for many, by counting for few.
    private static double Poisson(PCG random, double mean)
    {
        if (mean > 200)
        {
            double u = (random.Next() + 1.0) / (uint.MaxValue + 2.0), v = random.Next() / (uint.MaxValue + 1.0);
            return Math.Max(0, Math.Round(mean + Math.Sqrt(mean) * Math.Sqrt(-2 * Math.Log(u)) * Math.Cos(2 * Math.PI * v)));
        }

        double limit = Math.Exp(-mean), product = 1;
        int count = -1;
        do
        {
            product *= (random.Next() + 0.5) / (uint.MaxValue + 1.0);
            count++;
        }
        while (product > limit);
        return count;
    }
}
