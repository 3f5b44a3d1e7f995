using System.Numerics;
using PatternCompiler.Prediction;

namespace PatternCompiler.Measure.Registration;

/// <summary>
/// Tries every offset, rotation and scale of a small picture against a drawing. What counts is the part of the picture's variance
/// that a mixture of area and outline explains, which does not depend on which of the two is brighter; all offsets at once by
/// correlation through Fourier transforms.
/// </summary>
internal static class CoarseSearch
{
    private const double LargestTurn = 10 / DegreesPerRadian;
    private const double LargestScale = 1.25;

    // From one trial to the next, a place at the picture's border moves by about so many of its cells.
    private const double CellsFromTrialToTrial = 1.3;

    // A part of the drawing with less than this in it explains nothing.
    private const double SmallestVariance = 1e-4;
    private const double DegreesPerRadian = 180 / Math.PI;

    /// <summary>Candidates, the best first, none closer to a better one than some cells.</summary>
    /// <param name="raster">The drawing, in cells as large as the picture's.</param>
    /// <param name="picture">The small picture.</param>
    /// <param name="nanometresPerPixel">Size of a pixel of the whole picture, as stated.</param>
    /// <param name="centres">Where the middle of the picture may lie.</param>
    /// <param name="searchesScale">The stated size may be off.</param>
    /// <param name="most">Largest number of candidates.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public static List<MapCandidate> Run(
        DrawnRaster raster, ReducedPicture picture, double nanometresPerPixel, SampleWindow centres, bool searchesScale, int most, CancellationToken cancellation)
    {
        double step = CellsFromTrialToTrial / (Math.Max(picture.Width, picture.Height) / 2.0);
        int turns = (int)Math.Ceiling(LargestTurn / step), scales = searchesScale ? (int)Math.Ceiling(Math.Log(LargestScale) / step) : 0;
        PictureMap[] trials =
        [
            .. Enumerable.Range(-scales, 2 * scales + 1).SelectMany(scale => Enumerable.Range(-turns, 2 * turns + 1).Select(turn => PictureMap.Similar(
                0, 0, nanometresPerPixel * (scales == 0 ? 1 : Math.Pow(LargestScale, (double)scale / scales)), LargestTurn * turn / turns))),
        ];
        return Peaks(raster, picture, trials, centres, most, cancellation);
    }

    /// <summary>The same for given rotations and scales: only the offset is searched.</summary>
    public static List<MapCandidate> Peaks(
        DrawnRaster raster, ReducedPicture picture, PictureMap[] trials, SampleWindow centres, int most, CancellationToken cancellation)
    {
        int side = 16;
        while (side < Math.Max(raster.Width, raster.Height))
        {
            side *= 2;
        }

        var world = new World(raster, side);
        float[] flat = picture.WithoutPlane();
        DrawnRaster.Soften(flat, picture.Width, picture.Height);
        var best = new float[raster.Width * raster.Height];
        var from = new int[best.Length];
        var merging = new Lock();
        Parallel.For(0, trials.Length, new ParallelOptions { CancellationToken = cancellation }, trial =>
        {
            float[] explained = world.Explained(Template(picture, flat, trials[trial], raster.CellNanometres, side));
            lock (merging)
            {
                for (int i = 0; i < best.Length; i++)
                {
                    float value = explained[i / raster.Width * side + i % raster.Width];
                    if (value > best[i] || value == best[i] && trial < from[i])
                    {
                        (best[i], from[i]) = (value, trial);
                    }
                }
            }
        });
        return Choose(raster, best, from, trials, centres, most);
    }

    // The picture turned and scaled onto the drawing's cells about cell (0, 0), round the borders: greys as the real part, 1 where
    // there is picture as the imaginary part.
    private static Complex[][] Template(ReducedPicture picture, float[] flat, PictureMap map, double cell, int side)
    {
        Complex[][] template = Spectrum.Empty(side);
        (double x, double y) = map.ToSample(picture.UOf(-0.5), picture.VOf(-0.5));
        (double otherX, double otherY) = map.ToSample(picture.UOf(picture.Width - 0.5), picture.VOf(-0.5));
        int reachX = Math.Min(side / 2 - 1, (int)(Math.Max(Math.Abs(x), Math.Abs(otherX)) / cell) + 1);
        int reachY = Math.Min(side / 2 - 1, (int)(Math.Max(Math.Abs(y), Math.Abs(otherY)) / cell) + 1);
        double sum = 0;
        int count = 0;
        for (int j = -reachY; j <= reachY; j++)
        {
            for (int i = -reachX; i <= reachX; i++)
            {
                (double u, double v) = map.ToPicture(i * cell, -j * cell);
                (double column, double row) = (picture.ColumnOf(u), picture.RowOf(v));
                if (column >= 0 && row >= 0 && column <= picture.Width - 1 && row <= picture.Height - 1)
                {
                    double value = Between(flat, picture.Width, picture.Height, column, row);
                    template[(j + side) % side][(i + side) % side] = new Complex(value, 1);
                    sum += value;
                    count++;
                }
            }
        }

        double mean = count > 0 ? sum / count : 0;
        foreach (Complex[] row in template)
        {
            for (int i = 0; i < row.Length; i++)
            {
                row[i] = row[i].Imaginary > 0 ? new Complex(row[i].Real - mean, 1) : default;
            }
        }

        return template;
    }

    private static double Between(float[] values, int width, int height, double column, double row)
    {
        (int x, int y) = ((int)column, (int)row);
        (int right, int below) = (Math.Min(width - 1, x + 1), Math.Min(height - 1, y + 1));
        (double fx, double fy) = (column - x, row - y);
        double upper = values[y * width + x] * (1 - fx) + values[y * width + right] * fx;
        double lower = values[below * width + x] * (1 - fx) + values[below * width + right] * fx;
        return upper * (1 - fy) + lower * fy;
    }

    private static List<MapCandidate> Choose(DrawnRaster raster, float[] best, int[] from, PictureMap[] trials, SampleWindow centres, int most)
    {
        const int Apart = 3;
        var peaks = new List<int>();
        for (int i = 0; i < best.Length; i++)
        {
            if (best[i] > 0 && centres.Contains(X(i), Y(i)) && IsPeak(i))
            {
                peaks.Add(i);
            }
        }

        var chosen = new List<int>();
        foreach (int peak in peaks.OrderByDescending(i => best[i]).ThenBy(i => i))
        {
            if (chosen.TrueForAll(other => Math.Abs(other % raster.Width - peak % raster.Width) > Apart || Math.Abs(other / raster.Width - peak / raster.Width) > Apart))
            {
                chosen.Add(peak);
            }

            if (chosen.Count == most)
            {
                break;
            }
        }

        return [.. chosen.Select(i => new MapCandidate(trials[from[i]] with { CentreX = X(i), CentreY = Y(i) }, best[i]))];

        double X(int i) => raster.Left + (i % raster.Width + 0.5) * raster.CellNanometres;

        double Y(int i) => raster.Top - (i / raster.Width + 0.5) * raster.CellNanometres;

        bool IsPeak(int i)
        {
            (int column, int row) = (i % raster.Width, i / raster.Width);
            for (int y = Math.Max(0, row - 1); y <= Math.Min(raster.Height - 1, row + 1); y++)
            {
                for (int x = Math.Max(0, column - 1); x <= Math.Min(raster.Width - 1, column + 1); x++)
                {
                    if (best[y * raster.Width + x] > best[i])
                    {
                        return false;
                    }
                }
            }

            return true;
        }
    }

    /// <summary>The drawing's spectra: of area and outline, of their squares, of their product.</summary>
    private sealed class World
    {
        private readonly int side;
        private readonly Complex[][] both;
        private readonly Complex[][] squares;
        private readonly Complex[][] products;

        public World(DrawnRaster raster, int side)
        {
            this.side = side;
            (both, squares, products) = (Spectrum.Empty(side), Spectrum.Empty(side), Spectrum.Empty(side));
            for (int y = 0; y < raster.Height; y++)
            {
                for (int x = 0; x < raster.Width; x++)
                {
                    (double area, double outline) = (raster.Area[y * raster.Width + x], raster.Outline[y * raster.Width + x]);
                    both[y][x] = new Complex(area, outline);
                    squares[y][x] = new Complex(area * area, outline * outline);
                    products[y][x] = area * outline;
                }
            }

            Spectrum.Forward(both);
            Spectrum.Forward(squares);
            Spectrum.Forward(products);
        }

        /// <summary>The part of the variance that is explained, for the picture's middle at every cell.</summary>
        public float[] Explained(Complex[][] template)
        {
            double variance = 0;
            int count = 0;
            foreach (Complex[] row in template)
            {
                foreach (Complex value in row)
                {
                    variance += value.Real * value.Real;
                    count += value.Imaginary > 0 ? 1 : 0;
                }
            }

            var result = new float[side * side];
            if (!(variance > 0))
            {
                return result;
            }

            Spectrum.Forward(template);
            Complex[][] greys = Spectrum.Empty(side), sums = Spectrum.Empty(side), squaresUnder = Spectrum.Empty(side), productsUnder = Spectrum.Empty(side);
            for (int y = 0; y < side; y++)
            {
                for (int x = 0; x < side; x++)
                {
                    Complex own = template[y][x], mirrored = Complex.Conjugate(template[(side - y) % side][(side - x) % side]);
                    Complex grey = Complex.Conjugate((own + mirrored) / 2), mask = Complex.Conjugate((own - mirrored) / new Complex(0, 2));
                    greys[y][x] = grey * both[y][x];
                    sums[y][x] = mask * both[y][x];
                    squaresUnder[y][x] = mask * squares[y][x];
                    productsUnder[y][x] = mask * products[y][x];
                }
            }

            Spectrum.Inverse(greys);
            Spectrum.Inverse(sums);
            Spectrum.Inverse(squaresUnder);
            Spectrum.Inverse(productsUnder);
            for (int y = 0; y < side; y++)
            {
                for (int x = 0; x < side; x++)
                {
                    (double area, double outline) = (sums[y][x].Real, sums[y][x].Imaginary);
                    double areas = squaresUnder[y][x].Real - area * area / count + SmallestVariance * count;
                    double outlines = squaresUnder[y][x].Imaginary - outline * outline / count + SmallestVariance * count;
                    double mixed = productsUnder[y][x].Real - area * outline / count;
                    (double byArea, double byOutline) = (greys[y][x].Real, greys[y][x].Imaginary);
                    double determinant = areas * outlines - mixed * mixed;
                    result[y * side + x] = (float)Math.Clamp(
                        (byArea * byArea * outlines - 2 * byArea * byOutline * mixed + byOutline * byOutline * areas) / (determinant * variance), 0, 1);
                }
            }

            return result;
        }
    }
}
