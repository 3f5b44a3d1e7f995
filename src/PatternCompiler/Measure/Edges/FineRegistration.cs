using MathNet.Numerics.LinearAlgebra;
using PatternCompiler.Measure.Registration;

namespace PatternCompiler.Measure.Edges;

/// <summary>
/// Moves a map so that measured edges lie on drawn ones, all outside by the same distance: weighted least squares of
/// offset = distance + normal · (shift + matrix · place), in which far outliers hardly count. What no edge tells stays as it was.
/// </summary>
/// <param name="Map">The map.</param>
/// <param name="DistanceNanometres">How far all edges lie outside.</param>
/// <param name="ResidualNanometres">Root mean square of what is left.</param>
/// <param name="Scale">Change of scale that would fit, along with rotation.</param>
/// <param name="ScaleError">Its standard error.</param>
internal sealed record FineRegistration(PictureMap Map, double DistanceNanometres, double ResidualNanometres, double Scale, double ScaleError)
{
    private const int Rounds = 12;
    private const double Outlier = 2.5;
    private const double PriorPixels = 5;
    private const double MedianOfNormal = 0.6745;

    /// <summary>Fits the edges that were found.</summary>
    /// <param name="edges">What was found.</param>
    /// <param name="map">The map under which it was.</param>
    /// <param name="freedom">What may move.</param>
    /// <param name="halfWidth">Half of the picture's width, in pixels.</param>
    /// <param name="halfHeight">Half of its height.</param>
    public static FineRegistration Fit(IReadOnlyList<MeasuredEdge> edges, PictureMap map, MapFreedom freedom, double halfWidth, double halfHeight)
    {
        // What turns or stretches is counted at the border that is nearest: a low picture may be turned by more.
        double size = Math.Min(halfWidth, halfHeight) * map.NanometresPerPixel;
        int count = freedom switch { MapFreedom.Rigid => 4, MapFreedom.Similarity => 5, _ => 7 };
        var rows = new double[edges.Count][];
        for (int i = 0; i < rows.Length; i++)
        {
            EdgeStrip strip = edges[i].Strip;
            (double x, double y) = ((strip.X - map.CentreX) / size, (strip.Y - map.CentreY) / size);
            (double nx, double ny) = (strip.OutX, strip.OutY);
            double[] all = [1, nx, ny, ny * x - nx * y, nx * x + ny * y, nx * x - ny * y, nx * y + ny * x];
            rows[i] = all[..count];
        }

        double prior = PriorPixels * map.NanometresPerPixel;
        Vector<double> found = Vector<double>.Build.Dense(count);
        Matrix<double> covariance = Matrix<double>.Build.Dense(count, count);
        double spread = 0;
        for (int round = 0; round < Rounds; round++)
        {
            double[] left = [.. rows.Select((row, i) => edges[i].OffsetNanometres - Dot(row, found))];
            double[] sizes = [.. left.Select(Math.Abs).Order()];
            double deviation = Math.Max(sizes[sizes.Length / 2] / MedianOfNormal, 1e-6 * map.NanometresPerPixel);
            var normal = Matrix<double>.Build.Dense(count, count);
            var right = Vector<double>.Build.Dense(count);
            for (int i = 0; i < rows.Length; i++)
            {
                double extra = Math.Max(0, deviation * deviation - edges[i].StandardErrorNanometres * edges[i].StandardErrorNanometres);
                double part = left[i] / (Outlier * deviation);
                double weight = 1 / ((edges[i].StandardErrorNanometres * edges[i].StandardErrorNanometres + extra) * Math.Max(1, part * part));
                for (int a = 0; a < count; a++)
                {
                    right[a] += weight * rows[i][a] * edges[i].OffsetNanometres;
                    for (int b = 0; b < count; b++)
                    {
                        normal[a, b] += weight * rows[i][a] * rows[i][b];
                    }
                }

            }

            for (int a = 0; a < count; a++)
            {
                normal[a, a] += 1 / (prior * prior);
            }

            covariance = normal.Inverse();
            found = covariance * right;
            spread = Math.Sqrt(left.Average(value => value * value));
        }

        double turn = found[3] / size, scale = count > 4 ? found[4] / size : 0;
        (double stretch, double shear) = count > 5 ? (found[5] / size, found[6] / size) : (0, 0);
        (double sine, double cosine) = Math.SinCos(-turn);
        double grown = 1 - scale;
        PictureMap moved = map.Moved(-found[1], -found[2], grown * cosine - 1 - stretch, -grown * sine - shear, grown * sine - shear, grown * cosine - 1 + stretch);
        return new FineRegistration(moved, found[0], spread, -scale, count > 4 ? Math.Sqrt(covariance[4, 4]) / size : double.NaN);
    }

    private static double Dot(double[] row, Vector<double> coefficients)
    {
        double sum = 0;
        for (int i = 0; i < row.Length; i++)
        {
            sum += row[i] * coefficients[i];
        }

        return sum;
    }
}
