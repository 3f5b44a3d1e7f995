using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Truth;

namespace PatternCompiler.VirtualLab.Microscope;

/// <summary>What one picture is taken with.</summary>
public sealed record Shot
{
    public double CentreXNanometres { get; init; }

    public double CentreYNanometres { get; init; }

    /// <summary>Pixels across.</summary>
    public int Width { get; init; } = 512;

    /// <summary>Pixels down, the data bar not counted.</summary>
    public int Height { get; init; } = 384;

    public double NanometresPerPixel { get; init; } = 5;

    /// <summary>Part of the step between substrate and resist that follows the thickness of the film; 0 for an upright side wall.</summary>
    public double PartByThickness { get; init; } = 0.1;

    /// <summary>How many times as long as usual the beam rests on a pixel.</summary>
    public double Longer { get; init; } = 1;

    /// <summary>Roughness of edges, or null for smooth ones.</summary>
    public EdgeRoughness? Roughness { get; init; }

    /// <summary>A strip with a scale bar below the picture.</summary>
    public bool HasDataBar { get; init; } = true;
}

/// <summary>
/// Takes micrographs of developed resist. The signal has two levels, one for substrate and one for resist, a tenth of their
/// difference follows the thickness, and edges have a bright crest. An edge is blurred along its normal as a straight one is.
/// </summary>
public sealed class Camera(MicroscopeTruth truth, Dice dice)
{
    private const int DataBarRows = 32;
    private const double FarFromEdgesNanometres = 120;
    private static readonly Shot Point = new();

    /// <summary>Part of the sample that a picture shows, turned and off in scale as it may be.</summary>
    public SampleWindow WindowOf(Shot shot)
    {
        double pixel = shot.NanometresPerPixel * (1 + (2 * Math.Abs(truth.ScaleError)));
        (double sine, double cosine) = Math.SinCos(Math.Abs(truth.RotationRadians));
        return SampleWindow.Around(
            shot.CentreXNanometres, shot.CentreYNanometres, pixel * ((shot.Width * cosine) + (shot.Height * sine)), pixel * ((shot.Width * sine) + (shot.Height * cosine)));
    }

    public Micrograph Photograph(DevelopedFilm film, Shot shot)
    {
        // The picture states the pixel that was asked for; the sample's own is off by the scale error.
        double pixel = shot.NanometresPerPixel / (1 + truth.ScaleError);
        double blur = Math.Sqrt((truth.BlurNanometres * truth.BlurNanometres) + (pixel * pixel / 12));
        int bar = shot.HasDataBar ? DataBarRows : 0;
        var signal = new double[shot.Width * (shot.Height + bar)];
        (double sine, double cosine) = Math.SinCos(truth.RotationRadians);
        for (int row = 0; row < shot.Height; row++)
        {
            double v = (((shot.Height - 1) / 2.0) - row) * pixel;
            for (int column = 0; column < shot.Width; column++)
            {
                double u = (column - ((shot.Width - 1) / 2.0)) * pixel;
                double ideal = SignalAt(
                    film, shot.CentreXNanometres + (cosine * u) - (sine * v), shot.CentreYNanometres + (sine * u) + (cosine * v), blur, shot);
                double shading = 1 + (truth.ShadingX * (((double)column / shot.Width) - 0.5)) + (truth.ShadingY * (0.5 - ((double)row / shot.Height)));
                signal[(row * shot.Width) + column] = dice.Poisson(ideal * shading * truth.ElectronsPerPixel * shot.Longer) / (truth.ElectronsPerPixel * shot.Longer);
            }
        }

        if (bar > 0)
        {
            DrawBar(signal.AsSpan(shot.Width * shot.Height), shot.Width, shot.NanometresPerPixel);
        }

        return new Micrograph(shot.Width, shot.Height + bar, signal, shot.NanometresPerPixel, bar);
    }

    /// <summary>One sample of the detector with the beam at a place of the sample, for so many times as long as on a pixel of a picture.</summary>
    public double Sample(DevelopedFilm film, double x, double y, double longer) =>
        dice.Poisson(SignalAt(film, x, y, truth.BlurNanometres, Point) * truth.ElectronsPerPixel * longer) / (truth.ElectronsPerPixel * longer);

    private double SignalAt(DevelopedFilm film, double x, double y, double blur, Shot shot)
    {
        double distance = film.DistanceInside(x, y);
        if (shot.Roughness is { } rough && Math.Abs(distance) < FarFromEdgesNanometres)
        {
            distance += rough.At(x, y);
        }

        // Part of the pixel's surroundings that lies inside the edge: a straight step, blurred.
        double inside = double.IsInfinity(distance) ? (distance > 0 ? 1 : 0) : (1 + ErrorFunction.Of(distance / (Math.Sqrt(2) * blur))) / 2;
        double bare = film.Resist.IsNegative ? 1 - inside : inside;
        double step = truth.ResistSignal - truth.SubstrateSignal;
        double body = step * (1 - bare) * (1 - shot.PartByThickness + (shot.PartByThickness * film.RemainingAt(x, y)));
        double width = Math.Sqrt((truth.EdgeNanometres * truth.EdgeNanometres) + (blur * blur));
        double crest = double.IsInfinity(distance) ? 0 : truth.EdgeSignal * truth.EdgeNanometres / width * Math.Exp(-distance * distance / (2 * width * width));
        return truth.SubstrateSignal + body + crest;
    }

    // A black strip with a white bar of a round length that takes up to half of the width.
    private static void DrawBar(Span<double> strip, int width, double nanometresPerPixel)
    {
        double length = RoundLength(width * nanometresPerPixel / 2);
        int pixels = (int)Math.Round(length / nanometresPerPixel), left = width / 20, top = DataBarRows / 3;
        for (int row = top; row < 2 * top; row++)
        {
            strip.Slice((row * width) + left, pixels).Fill(1);
        }
    }

    /// <summary>The largest of 1, 2 or 5 times a power of ten nanometres that is no longer than a length.</summary>
    public static double RoundLength(double nanometres)
    {
        double power = Math.Pow(10, Math.Floor(Math.Log10(nanometres)));
        return nanometres >= 5 * power ? 5 * power : nanometres >= 2 * power ? 2 * power : power;
    }
}
