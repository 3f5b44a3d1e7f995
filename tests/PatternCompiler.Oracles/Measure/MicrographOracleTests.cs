using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Measure;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Oracles.Measure;

/// <summary>
/// Pictures made by SciPy (ndimage's Gaussian filter on a picture eight times as fine, then means of eight by eight) and measured by
/// scikit-image: the shift between two by <c>registration.phase_cross_correlation</c>, the width of a bar by
/// <c>measure.profile_line</c> where the mean profile crosses half.
/// </summary>
public sealed class MicrographOracleTests
{
    private const double Pixel = 4;

    private const string Program =
        """
        import sys
        import numpy as np
        from scipy.ndimage import gaussian_filter
        from skimage.measure import profile_line
        from skimage.registration import phase_cross_correlation
        folder, fine, size = sys.argv[1], 8, 320
        bars = [(-500, -420, -380, 380), (-200, -300, -40, 450), (120, -450, 200, 300), (350, -60, 560, 160)]
        random = np.random.default_rng(7)
        # Shifts are whole steps of the fine picture.
        def picture(dx, dy):
            step = 4 / fine
            x = (np.arange(size * fine) - (size * fine - 1) / 2) * step + dx
            y = -(np.arange(size * fine) - (size * fine - 1) / 2) * step + dy
            mask = np.zeros((size * fine, size * fine), np.float32)
            for l, b, r, t in bars:
                mask[np.ix_((y > b) & (y < t), (x > l) & (x < r))] = 1
            mean = gaussian_filter(mask, 6 / step).reshape(size, fine, size, fine).mean((1, 3))
            return 20000 + 15000 * mean + random.normal(0, 800, mean.shape)
        first, second = picture(0, 0), picture(13.5, -22)
        np.save(folder + '/first.npy', first)
        np.save(folder + '/second.npy', second)
        shift, _, _ = phase_cross_correlation(first, second, upsample_factor=50, normalization=None)
        print(shift[1] * 4, -shift[0] * 4)
        row = (size - 1) / 2
        for l, b, r, t in bars[:3]:
            middle = (l + r) / 2 / 4 + row
            p = profile_line(first, (row + 5, middle - 25), (row + 5, middle + 25), linewidth=101, mode='reflect')
            half = 27500
            inside = np.flatnonzero(p > half)
            i, j = inside[0], inside[-1]
            print((j + (p[j] - half) / (p[j] - p[j + 1]) - (i - (p[i] - half) / (p[i] - p[i - 1]))) * 4)
        """;

    [ScikitImageFact]
    public void Shift_and_widths_are_those_of_scikit_image()
    {
        string folder = Directory.CreateTempSubdirectory("patternc-").FullName;
        try
        {
            (int code, string output, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, "-c", Program, folder);
            Assert.True(code == 0, errors);
            double[] theirs = [.. output.Split((char[])[' ', '\n'], StringSplitOptions.RemoveEmptyEntries).Select(text => double.Parse(text, CultureInfo.InvariantCulture))];
            MeasuredPicture first = Measure(Path.Combine(folder, "first.npy")), second = Measure(Path.Combine(folder, "second.npy"));

            // What moves in the picture moves against the middle in the drawing.
            Assert.Equal(theirs[0], second.Map.CentreX - first.Map.CentreX, 0.15 * Pixel);
            Assert.Equal(theirs[1], second.Map.CentreY - first.Map.CentreY, 0.15 * Pixel);
            Assert.Equal(13.5, second.Map.CentreX - first.Map.CentreX, 0.05 * Pixel);
            Assert.Equal(-22, second.Map.CentreY - first.Map.CentreY, 0.05 * Pixel);
            double[] drawn = [120, 160, 80];
            for (int i = 0; i < drawn.Length; i++)
            {
                double ours = first.Widths.Single(width => !width.IsGap && width.DrawnNanometres == drawn[i]).WidthNanometres;
                Assert.Equal(theirs[2 + i], ours, 0.15 * Pixel);
                Assert.Equal(drawn[i], ours, 0.1 * Pixel);
            }
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static MeasuredPicture Measure(string path)
    {
        var rings = new ContourSetBuilder();
        foreach ((int l, int b, int r, int t) in ((int, int, int, int)[])[(-500, -420, -380, 380), (-200, -300, -40, 450), (120, -450, 200, 300), (350, -60, 560, 160)])
        {
            rings.AddRing([new(10 * l, 10 * b), new(10 * r, 10 * b), new(10 * r, 10 * t), new(10 * l, 10 * t)]);
        }

        using FileStream file = File.OpenRead(path);
        var layout = new FlatLayout(100, ["A"], [new FlatLayer(0, DoseFactor.One, rings.ToContourSet(), [], [])]);
        return MicrographMeasurement.Run(MicrographReader.Read(file, path), layout, new MeasureOptions(Pixel, MapFreedom.Rigid), path, new DiagnosticSink());
    }
}
