using MathNet.Numerics.LinearAlgebra;

namespace PatternCompiler.Measure.Registration;

/// <summary>
/// Moves a map until a mixture of area and outline, on a plane of shading, explains as much of the picture as it can: Gauss and
/// Newton's steps in offset, rotation and scale, halved while they do not help.
/// </summary>
internal static class MapRefiner
{
    private const int Mixture = 5;
    private const int MostHalvings = 5;

    // In cells at the picture's border.
    private const double Settled = 0.02;
    private const double LongestStep = 3;

    /// <summary>Refines a map.</summary>
    /// <param name="raster">The drawing.</param>
    /// <param name="picture">The picture, in cells about as large.</param>
    /// <param name="start">Where to start.</param>
    /// <param name="movesScale">The scale moves, too.</param>
    /// <param name="steps">Largest number of steps.</param>
    public static MapCandidate Run(DrawnRaster raster, ReducedPicture picture, PictureMap start, bool movesScale, int steps)
    {
        double radius = Math.Max(picture.FullWidth, picture.FullHeight) / 2.0;
        PictureMap map = start;
        Fit fit = Measure(raster, picture, map, radius);
        for (int step = 0; step < steps; step++)
        {
            double[]? change = fit.Step(movesScale);
            if (change is null)
            {
                break;
            }

            double length = change.Max(Math.Abs) / raster.CellNanometres;
            double part = Math.Min(1, LongestStep / Math.Max(length, 1e-9));
            bool isBetter = false;
            for (int halving = 0; halving < MostHalvings && !isBetter; halving++, part /= 2)
            {
                PictureMap tried = Changed(map, change, part, radius);
                Fit reached = Measure(raster, picture, tried, radius);
                if (reached.Explained > fit.Explained)
                {
                    (map, fit, isBetter) = (tried, reached, true);
                }
            }

            if (!isBetter || length < Settled)
            {
                break;
            }
        }

        return new MapCandidate(map, fit.Explained);
    }

    /// <summary>The part of the picture that is explained under a map.</summary>
    public static double Explained(DrawnRaster raster, ReducedPicture picture, PictureMap map) => Measure(raster, picture, map, 1).Explained;

    // Rotation and scale are counted in nanometres at the picture's border.
    private static PictureMap Changed(PictureMap map, double[] change, double part, double radius)
    {
        double size = radius * map.NanometresPerPixel;
        double turn = part * change[2] / size;
        double scale = part * change[3] / size;
        (double sine, double cosine) = Math.SinCos(turn);
        return map.Moved(part * change[0], part * change[1], (1 + scale) * cosine - 1, -(1 + scale) * sine, (1 + scale) * sine, (1 + scale) * cosine - 1);
    }

    private static Fit Measure(DrawnRaster raster, ReducedPicture picture, PictureMap map, double radius)
    {
        var fit = new Fit(picture, radius * map.NanometresPerPixel);
        Span<double> row = stackalloc double[Fit.Columns];
        for (int j = 0; j < picture.Height; j++)
        {
            for (int i = 0; i < picture.Width; i++)
            {
                (double u, double v) = (picture.UOf(i), picture.VOf(j));
                (double x, double y) = map.ToSample(u, v);
                (double area, double areaX, double areaY) = At(raster, raster.Area, x, y);
                (double outline, double outlineX, double outlineY) = At(raster, raster.Outline, x, y);
                (double dx, double dy) = (x - map.CentreX, y - map.CentreY);
                row[0] = 1;
                row[1] = u / picture.FullWidth;
                row[2] = v / picture.FullHeight;
                (row[3], row[4]) = (area, outline);
                (row[5], row[6], row[7], row[8]) = (areaX, areaY, areaY * dx - areaX * dy, areaX * dx + areaY * dy);
                (row[9], row[10], row[11], row[12]) = (outlineX, outlineY, outlineY * dx - outlineX * dy, outlineX * dx + outlineY * dy);
                fit.Add(picture.Values[j * picture.Width + i], row);
            }
        }

        fit.Close();
        return fit;
    }

    // Value between four cells, and its slopes per nanometre; nothing beyond the borders.
    internal static (double Value, double X, double Y) At(DrawnRaster raster, float[] values, double x, double y)
    {
        (double column, double row) = (raster.ColumnOf(x), raster.RowOf(y));
        if (!(column >= 0 && row >= 0 && column < raster.Width - 1 && row < raster.Height - 1))
        {
            return default;
        }

        int at = (int)row * raster.Width + (int)column;
        (double fx, double fy) = (column - (int)column, row - (int)row);
        (double a, double b, double c, double d) = (values[at], values[at + 1], values[at + raster.Width], values[at + raster.Width + 1]);
        (double upper, double lower) = (a + (b - a) * fx, c + (d - c) * fx);
        double slopeX = ((b - a) * (1 - fy) + (d - c) * fy) / raster.CellNanometres;
        return (upper + (lower - upper) * fy, slopeX, (upper - lower) / raster.CellNanometres);
    }

    /// <summary>
    /// Sums of products of all that a picture is made of under a map: plane, area, outline, and the slopes of these two with
    /// offset, rotation and scale. From them follow mixture, explained part and the next step.
    /// </summary>
    private sealed class Fit(ReducedPicture picture, double size)
    {
        public const int Columns = 13;
        private readonly double[,] products = new double[Columns + 1, Columns + 1];
        private readonly double reference = picture.Values[0];
        private Vector<double> mixture = Vector<double>.Build.Dense(Mixture);

        public double Explained { get; private set; }

        public void Add(double value, ReadOnlySpan<double> row)
        {
            double grey = value - reference;
            for (int i = 0; i < Columns; i++)
            {
                double own = row[i];
                if (own == 0)
                {
                    continue;
                }

                for (int j = 0; j <= i; j++)
                {
                    products[i, j] += own * row[j];
                }

                products[Columns, i] += own * grey;
            }

            products[Columns, Columns] += grey * grey;
        }

        public void Close()
        {
            double withPlane = Residual(3, out _);
            double withAll = Residual(Mixture, out mixture);
            Explained = withPlane > 0 ? Math.Clamp(1 - withAll / withPlane, 0, 1) : 0;
        }

        /// <summary>Change of offset, rotation and scale, as lengths; null where nothing tells it.</summary>
        public double[]? Step(bool movesScale)
        {
            int moved = movesScale ? 4 : 3;
            int count = Mixture + moved;
            var normal = Matrix<double>.Build.Dense(count, count);
            var right = Vector<double>.Build.Dense(count);

            // Column k of the joint fit is a weighted sum of the columns gathered above.
            (int Column, double Weight)[][] parts = new (int, double)[count][];
            for (int k = 0; k < Mixture; k++)
            {
                parts[k] = [(k, 1)];
            }

            for (int k = 0; k < moved; k++)
            {
                double unit = k < 2 ? 1 : 1 / size;
                parts[Mixture + k] = [(5 + k, mixture[3] * unit), (9 + k, mixture[4] * unit)];
            }

            for (int i = 0; i < count; i++)
            {
                foreach ((int column, double weight) in parts[i])
                {
                    right[i] += weight * products[Columns, column];
                }

                for (int j = 0; j < count; j++)
                {
                    foreach ((int column, double weight) in parts[i])
                    {
                        foreach ((int other, double otherWeight) in parts[j])
                        {
                            normal[i, j] += weight * otherWeight * products[Math.Max(column, other), Math.Min(column, other)];
                        }
                    }
                }
            }

            for (int i = 0; i < count; i++)
            {
                // What hardly changes the picture, such as a shift along a line, hardly moves.
                normal[i, i] += i < Mixture ? 1e-12 * (1 + normal[i, i]) : 1e-3 * normal.Diagonal().SubVector(Mixture, moved).Maximum();
            }

            Vector<double> solution = normal.Solve(right);
            double[] change = [.. solution.Skip(Mixture), .. movesScale ? [] : new double[] { 0 }];
            return change.All(double.IsFinite) ? change : null;
        }

        private double Residual(int columns, out Vector<double> coefficients)
        {
            var normal = Matrix<double>.Build.Dense(columns, columns, (i, j) => products[Math.Max(i, j), Math.Min(i, j)] + (i == j ? 1e-9 * picture.Values.Length : 0));
            var right = Vector<double>.Build.Dense(columns, i => products[Columns, i]);
            coefficients = normal.Solve(right);
            return products[Columns, Columns] - coefficients.DotProduct(right);
        }
    }
}
