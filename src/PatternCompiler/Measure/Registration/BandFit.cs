using MathNet.Numerics.LinearAlgebra;

namespace PatternCompiler.Measure.Registration;

/// <summary>How much of a picture a drawing explains if each band of dose has a strength of its own, areas and outlines apart.</summary>
internal static class BandFit
{
    private const int Plane = 3;

    // Columns that hold next to nothing in the picture take nothing over.
    private const double Ridge = 1e-6;

    /// <summary>The part of the variance about a plane of shading.</summary>
    public static double Explained(DrawnRaster[] bands, ReducedPicture picture, PictureMap map)
    {
        int columns = Plane + 2 * bands.Length;
        var products = Matrix<double>.Build.Dense(columns, columns);
        var right = Vector<double>.Build.Dense(columns);
        var row = new double[columns];
        double squares = 0, reference = picture.Values[0];
        for (int j = 0; j < picture.Height; j++)
        {
            for (int i = 0; i < picture.Width; i++)
            {
                (double u, double v) = (picture.UOf(i), picture.VOf(j));
                (double x, double y) = map.ToSample(u, v);
                (row[0], row[1], row[2]) = (1, u / picture.FullWidth, v / picture.FullHeight);
                for (int band = 0; band < bands.Length; band++)
                {
                    row[Plane + 2 * band] = MapRefiner.At(bands[band], bands[band].Area, x, y).Value;
                    row[Plane + 2 * band + 1] = MapRefiner.At(bands[band], bands[band].Outline, x, y).Value;
                }

                double grey = picture.Values[j * picture.Width + i] - reference;
                squares += grey * grey;
                for (int a = 0; a < columns; a++)
                {
                    if (row[a] == 0)
                    {
                        continue;
                    }

                    right[a] += row[a] * grey;
                    for (int b = 0; b <= a; b++)
                    {
                        products[a, b] += row[a] * row[b];
                    }
                }
            }
        }

        double withPlane = Left(Plane), withAll = Left(columns);
        return withPlane > 0 ? Math.Clamp(1 - withAll / withPlane, 0, 1) : 0;

        double Left(int count)
        {
            var normal = Matrix<double>.Build.Dense(count, count, (a, b) => products[Math.Max(a, b), Math.Min(a, b)] + (a == b ? Ridge * picture.Values.Length : 0));
            Vector<double> part = right.SubVector(0, count);
            return squares - normal.Solve(part).DotProduct(part);
        }
    }
}
