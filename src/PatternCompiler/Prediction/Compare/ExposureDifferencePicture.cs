using System.Collections.Immutable;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Pictures;

namespace PatternCompiler.Prediction.Compare;

/// <summary>
/// Pictures where two exposures differ: by pixel, what both have in common, where the first puts more and where the second
/// does. The differences have a scale of their own, so that small ones are seen.
/// </summary>
internal static class ExposureDifferencePicture
{
    private const int CommonHue = 0;
    private const int FirstHue = 1;
    private const int SecondHue = 2;

    // What is common stays pale, so that differences stand out.
    private const int StrongestCommonTint = 5;

    // A sum of many parts differs by so much without meaning: rounding.
    private const double RoundingPart = 1e-6;
    private const double FaintestPart = 0.01;

    // Below half a tint; the points of a figure that was filled anew move by less than is seen.
    private const double FaintestDifference = 0.5 / Palette.TintCount;

    /// <summary>The difference of two strokes documents, by charge.</summary>
    public static Scene Compose(CollectedDocument<StrokesHeader, Stroke> first, CollectedDocument<StrokesHeader, Stroke> second, PictureOptions options) =>
        Compose(visit => ExposedPoints.Visit(first, visit), visit => ExposedPoints.Visit(second, visit), options, "charge", FactText.Charge, "difference in dose", perArea => $"{FactText.Round(perArea * MicrocoulombsPerSquareCentimetre, 3)} µC/cm²");

    /// <summary>The difference of two records documents, by the time with the beam on.</summary>
    public static Scene Compose(CollectedDocument<RecordsHeader, DeflectionRecord> first, CollectedDocument<RecordsHeader, DeflectionRecord> second, PictureOptions options) =>
        Compose(visit => ExposedPoints.Visit(first, visit), visit => ExposedPoints.Visit(second, visit), options, "beam on for", FactText.Time, "difference per µm²", perArea => FactText.Time(perArea * SquareNanometresPerSquareMicrometre));

    // 1 C on 1 nm² is 1e18 C/m², and 1 C/m² is 100 µC/cm².
    private const double MicrocoulombsPerSquareCentimetre = 1e20;
    private const double SquareNanometresPerSquareMicrometre = 1e6;

    private static Scene Compose(
        Action<Action<double, double, double>> visitFirst,
        Action<Action<double, double, double>> visitSecond,
        PictureOptions options,
        string totalName,
        Func<double, string> printTotal,
        string measure,
        Func<double, string> printPerArea)
    {
        SceneExtent extent = SceneExtent.Empty;
        visitFirst((x, y, _) => extent = extent.With(x, y));
        visitSecond((x, y, _) => extent = extent.With(x, y));
        PictureFrame frame = PictureFrame.Choose(extent, options);
        (double[] first, double firstTotal) = PixelsOf(visitFirst, frame);
        (double[] second, double secondTotal) = PixelsOf(visitSecond, frame);
        double most = 0;
        double largest = 0;
        for (int i = 0; i < first.Length; i++)
        {
            most = Math.Max(most, Math.Max(first[i], second[i]));
            largest = Math.Max(largest, Math.Abs(first[i] - second[i]));
        }

        bool differs = largest > RoundingPart * most;
        var common = new byte[first.Length];
        var onlyFirst = new byte[first.Length];
        var onlySecond = new byte[first.Length];
        for (int i = 0; i < first.Length; i++)
        {
            double difference = first[i] - second[i];
            if (differs && Math.Abs(difference) >= FaintestDifference * largest)
            {
                (difference > 0 ? onlyFirst : onlySecond)[i] = Tint(Math.Abs(difference) / largest, Palette.TintCount);
            }
            else if (first[i] >= FaintestPart * most)
            {
                common[i] = Tint(first[i] / most, StrongestCommonTint);
            }
        }

        double pixelArea = frame.NanometresPerPixel * frame.NanometresPerPixel;
        ImmutableArray<LegendEntry> legend = differs
            ? [new LegendEntry(SceneRole.Area, CommonHue, "both"), new LegendEntry(SceneRole.Area, FirstHue, "more in the first"), new LegendEntry(SceneRole.Area, SecondHue, "more in the second")]
            : [new LegendEntry(SceneRole.Area, CommonHue, "both")];
        return new Scene(
            frame,
            FactText.Join(options.Title, "difference"),
            FactText.Join($"{totalName} {printTotal(firstTotal)} | {printTotal(secondTotal)}", FactText.Size(extent)),
            differs ? [] : ["The exposure is the same everywhere: only order, jumps or figures can differ."],
            legend,
            differs ? new TintScale(measure, "0", printPerArea(largest / pixelArea), FirstHue) : null,
            null,
            [Map(common, CommonHue), Map(onlyFirst, FirstHue), Map(onlySecond, SecondHue)],
            []);

        SceneMap Map(byte[] tints, int hue) => new(frame.PlotWidth, frame.PlotHeight, hue, tints);
    }

    private static byte Tint(double part, int strongest) => (byte)Math.Clamp(Math.Round(part * strongest), 1, strongest);

    /// <summary>What each pixel of the plot gets, row by row from the top, each point split over the four nearest; and the sum of everything.</summary>
    private static (double[] Pixels, double Total) PixelsOf(Action<Action<double, double, double>> visitAll, PictureFrame frame)
    {
        var pixels = new double[frame.PlotWidth * frame.PlotHeight];
        double total = 0;
        double perPixel = frame.NanometresPerPixel;
        visitAll((x, y, amount) =>
        {
            total += amount;
            double column = (x - frame.View.Left) / perPixel - 0.5;
            double row = (frame.View.Top - y) / perPixel - 0.5;
            if (!(column >= 0 && row >= 0 && column < frame.PlotWidth - 1 && row < frame.PlotHeight - 1))
            {
                return;
            }

            int c = (int)column;
            int r = (int)row;
            double toRight = column - c;
            double down = row - r;
            int i = r * frame.PlotWidth + c;
            pixels[i] += amount * (1 - down) * (1 - toRight);
            pixels[i + 1] += amount * (1 - down) * toRight;
            pixels[i + frame.PlotWidth] += amount * down * (1 - toRight);
            pixels[i + frame.PlotWidth + 1] += amount * down * toRight;
        });
        return (PixelSmoothing.Spread(PixelSmoothing.Spread(pixels, frame.PlotWidth), frame.PlotWidth), total);
    }
}
