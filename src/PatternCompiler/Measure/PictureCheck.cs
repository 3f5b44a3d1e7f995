using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;

namespace PatternCompiler.Measure;

/// <summary>Looks at a micrograph before anything is measured: how much of it is picture, how noisy it is, whether it shows anything.</summary>
internal static class PictureCheck
{
    private const int SmallestSide = 64;
    private const double LargestSaturated = 0.05;
    private const double LargestBar = 0.2;
    private const double OneGreyInBar = 0.4;
    private const int Cells = 64;
    private const double LeastSignal = 2;
    private const int NoiseSamples = 200_000;

    // The median of the size of a normal error, over its standard deviation.
    private const double MedianOfNormal = 0.6745;

    /// <summary>Rows that are picture: a strip with data below it has mostly one grey.</summary>
    public static int PictureRows(Micrograph picture)
    {
        int rows = picture.Height;
        while (rows > 0 && IsStrip(picture, rows - 1))
        {
            rows--;
        }

        return rows >= picture.Height * (1 - LargestBar) ? rows : picture.Height;
    }

    /// <summary>Refuses what cannot be measured.</summary>
    /// <param name="picture">The micrograph.</param>
    /// <param name="rows">Rows of it that are picture.</param>
    /// <param name="place">Its file.</param>
    /// <returns>Standard deviation of the noise of a pixel.</returns>
    public static double Require(Micrograph picture, int rows, SourcePlace place)
    {
        if (picture.Width < SmallestSide || rows < SmallestSide)
        {
            throw new CompileException(
                MeasureCodes.NothingSeen, $"this picture has {picture.Width} x {rows} pixels, and at least {SmallestSide} x {SmallestSide} are needed", place, "take a larger one");
        }

        RequireRange(picture, rows, place);
        double noise = NoiseOf(picture, rows);
        var small = ReducedPicture.Of(picture, rows, Cells);
        float[] flat = small.WithoutPlane();
        double variance = flat.Average(value => (double)value * value);
        double ofNoise = noise * noise / ((double)small.Factor * small.Factor);
        if (!(variance > LeastSignal * ofNoise) || variance == 0)
        {
            throw new CompileException(
                MeasureCodes.NothingSeen,
                FormattableString.Invariant($"this picture shows nothing but noise: its greys differ by {Math.Sqrt(variance):0.###} from place to place, and noise alone makes {Math.Sqrt(ofNoise):0.###}"),
                place,
                "take it with more contrast, or longer");
        }

        return noise;
    }

    private static void RequireRange(Micrograph picture, int rows, SourcePlace place)
    {
        if (picture.Bits == 0)
        {
            return;
        }

        long black = 0, white = 0, all = (long)picture.Width * rows;
        float highest = (float)picture.HighestValue;
        foreach (float value in picture.Values.Span[..(int)all])
        {
            black += value <= 0 ? 1 : 0;
            white += value >= highest ? 1 : 0;
        }

        if (Math.Max(black, white) > LargestSaturated * all)
        {
            (long count, string end) = black > white ? (black, "black") : (white, "white");
            throw new CompileException(
                MeasureCodes.Saturated,
                FormattableString.Invariant($"{100.0 * count / all:0} % of this picture's pixels are at the {end} end of its range, where edges are cut off; up to {100 * LargestSaturated:0} % may be"),
                place,
                "take it with less contrast or another brightness");
        }
    }

    private static bool IsStrip(Micrograph picture, int row)
    {
        var counts = new Dictionary<float, int>();
        int most = 0;
        foreach (float value in picture.Values.Span.Slice(row * picture.Width, picture.Width))
        {
            int count = counts.GetValueOrDefault(value) + 1;
            counts[value] = count;
            most = Math.Max(most, count);
        }

        return most > OneGreyInBar * picture.Width;
    }

    // Second differences of neighbours hold twice the noise and hardly anything else.
    private static double NoiseOf(Micrograph picture, int rows)
    {
        ReadOnlySpan<float> values = picture.Values.Span;
        long pixels = (long)picture.Width * rows;
        int stride = (int)Math.Max(1, pixels / NoiseSamples) | 1;
        var differences = new List<float>(NoiseSamples + 1);
        for (long i = 0; i < pixels - picture.Width; i += stride)
        {
            int at = (int)i;
            if (at % picture.Width < picture.Width - 1)
            {
                differences.Add(Math.Abs(values[at] - values[at + 1] - values[at + picture.Width] + values[at + picture.Width + 1]));
            }
        }

        differences.Sort();
        return differences[differences.Count / 2] / (2 * MedianOfNormal);
    }
}
