using MathNet.Numerics;
using PatternCompiler.Calibration;

namespace PatternCompiler.Measure.Edges;

/// <summary>Gathers greys against their distance from the edge over a whole picture, and fits the profile of an edge to them.</summary>
/// <param name="pixelNanometres">Size of a pixel.</param>
/// <param name="reachNanometres">Distances of interest.</param>
internal sealed class ProfileFitter(double pixelNanometres, double reachNanometres)
{
    private const double BinPixels = 0.25;

    // A crest must lower the sum of squares by more than this many times a measurement's variance.
    private const double CrestMatters = 30;

    private const int WithoutCrest = 4;
    private const int WithOneWidth = 5;
    private const int WithTwoWidths = 6;

    private readonly double bin = BinPixels * pixelNanometres;
    private readonly double[] counts = new double[Size(pixelNanometres, reachNanometres)];
    private readonly double[] sums = new double[Size(pixelNanometres, reachNanometres)];

    /// <summary>Adds greys at a distance.</summary>
    public void Add(double distance, double grey, double count)
    {
        int index = (int)Math.Floor((distance + reachNanometres) / bin);
        if ((uint)index < (uint)counts.Length)
        {
            counts[index] += count;
            sums[index] += grey * count;
        }
    }

    /// <summary>The profile, and how far the edges lie outside of where they were taken to be; null if the greys show none.</summary>
    public (EdgeProfile Profile, double Shift)? Fit()
    {
        (double At, double Grey, double Weight)[] bins =
        [
            .. Enumerable.Range(0, counts.Length).Where(i => counts[i] > 0).Select(i => ((i + 0.5) * bin - reachNanometres, sums[i] / counts[i], Math.Sqrt(counts[i]))),
        ];
        if (bins.Length < 12)
        {
            return null;
        }

        double outside = Ends(bins, 1), inside = Ends(bins, -1);
        NonlinearFit? chosen = Best(bins, outside, inside, WithoutCrest);

        // The slope of a step has the shape of a crest as wide as its blur: with one width for both, a crest that is wider is taken for
        // a shifted step. One width only where two cannot be fitted.
        if ((Best(bins, outside, inside, WithTwoWidths) ?? Best(bins, outside, inside, WithOneWidth)) is { } richer
            && (chosen is null || (chosen.SumOfSquares - richer.SumOfSquares) / richer.Variance > CrestMatters))
        {
            chosen = richer;
        }

        if (chosen is null)
        {
            return null;
        }

        double[] p = chosen.Parameters;
        double blur = Math.Exp(p[2]);
        var profile = new EdgeProfile(p[1], p.Length > WithoutCrest ? p[4] : 0, blur, p.Length == WithTwoWidths ? Math.Exp(p[5]) : blur)
        {
            PlaceErrorNanometres = Math.Sqrt(chosen.Covariance[3, 3]),
        };
        return (profile.Measured(), p[3]);
    }

    private static int Size(double pixel, double reach) => (int)Math.Ceiling(2 * reach / (BinPixels * pixel)) + 1;

    private static double Ends((double At, double Grey, double Weight)[] bins, int side)
    {
        int count = Math.Max(1, bins.Length / 6);
        return (side > 0 ? bins[^count..] : bins[..count]).Average(bin => bin.Grey);
    }

    // Parameters: grey outside, height, ln blur, shift, crest, ln of its own width.
    private NonlinearFit? Best((double At, double Grey, double Weight)[] bins, double outside, double inside, int parameters)
    {
        NonlinearFit? best = null;
        foreach (double blur in (double[])[1.2, 3])
        {
            foreach (double shift in (double[])[0, -reachNanometres / 3, reachNanometres / 3])
            {
                double middle = bins.MinBy(b => Math.Abs(b.At - shift)).Grey - (outside + inside) / 2;
                double[] all = [outside, inside - outside, Math.Log(blur * pixelNanometres), shift, middle, Math.Log(1.5 * blur * pixelNanometres)];
                NonlinearFit? fit = NonlinearFit.Solve((p, r, s) => Model(bins, p, r, s), bins.Length, all.AsSpan(0, parameters));
                if (fit is not null && Math.Abs(fit.Parameters[3]) < reachNanometres && (best is null || fit.SumOfSquares < best.SumOfSquares))
                {
                    best = fit;
                }
            }
        }

        return best;
    }

    private bool Model((double At, double Grey, double Weight)[] bins, ReadOnlySpan<double> p, Span<double> residuals, Span<double> slopes)
    {
        double least = Math.Log(0.2 * pixelNanometres), most = Math.Log(reachNanometres);
        bool hasCrest = p.Length > WithoutCrest, hasTwoWidths = p.Length == WithTwoWidths;

        // The crest is blurred like the step, and wide by itself.
        if (!(p[2] > least && p[2] < most) || hasTwoWidths && !(p[5] >= p[2] && p[5] < most))
        {
            return false;
        }

        double blur = Math.Exp(p[2]);
        for (int i = 0; i < bins.Length; i++)
        {
            (double at, double grey, double weight) = bins[i];
            double d = at - p[3];
            double z = d / blur;
            double inside = SpecialFunctions.Erfc(z / Math.Sqrt(2)) / 2;
            double density = Math.Exp(-z * z / 2) / Math.Sqrt(2 * Math.PI);
            double model = p[0] + p[1] * inside;
            Span<double> slope = slopes.Slice(i * p.Length, p.Length);
            slope.Clear();
            slope[0] = -weight;
            slope[1] = -weight * inside;
            slope[2] = -weight * p[1] * density * z;
            slope[3] = -weight * p[1] * density / blur;
            if (hasCrest)
            {
                double width = hasTwoWidths ? Math.Exp(p[5]) : blur;
                double c = d / width;
                double bell = Math.Exp(-c * c / 2);
                model += p[4] * bell;
                slope[3] -= weight * p[4] * bell * c / width;
                slope[4] = -weight * bell;
                slope[hasTwoWidths ? 5 : 2] -= weight * p[4] * bell * c * c;
            }

            residuals[i] = weight * (grey - model);
        }

        return true;
    }
}
