using MathNet.Numerics;
using PatternCompiler.Calibration;

namespace PatternCompiler.Measure.Edges;

/// <summary>Gathers greys against their distance from the edge over a whole picture, and fits the profile of an edge to them.</summary>
/// <param name="pixelNanometres">Size of a pixel.</param>
/// <param name="reachNanometres">Distances of interest.</param>
/// <param name="noise">Standard deviation of a pixel's noise.</param>
/// <param name="wallSide">1 if the film lies outside of what is drawn, -1 if inside.</param>
internal sealed class ProfileFitter(double pixelNanometres, double reachNanometres, double noise, int wallSide)
{
    private const double BinPixels = 0.25;
    private const int FewestBins = 12;

    // The pixels along an upright edge all lie equally far from it. Where it is sharper than this, one of them at most lies on its slope, and then
    // any sharper profile does as well, and tells nothing of the edge's place.
    private const double SharpestPixels = 0.35;

    // What a picture leaves open is filled in by what is usual (common practice, no source): electrons leave some nanometres beside an
    // edge, crests are as high as steps, and up to some tenths of a step follow a film that thins over tens of nanometres beside the
    // edge. Without that, a crest as wide as the blur, a short side wall and a shifted step are one and the same.
    private const double UsualCrestNanometres = 8;
    private const double CrestFactor = 2;
    private const double UsualWallNanometres = 35;
    private const double WallFactor = 1.7;
    private const double UsualWallPart = 0.1;
    private const double LeastWallPart = -0.5;

    // Outside, height, ln blur, shift, crest, ln of its own width, the wall's part, ln of its width.
    private const int Count = 8;
    private const int Priors = 4;

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
        StackBin[] bins =
        [
            .. Enumerable.Range(0, counts.Length).Where(i => counts[i] > 0).Select(i => new StackBin((i + 0.5) * bin - reachNanometres, sums[i] / counts[i], Math.Sqrt(counts[i]))),
        ];
        if (bins.Length < FewestBins || Best(bins) is not { } fit)
        {
            return null;
        }

        double[] p = fit.Parameters;
        var profile = new EdgeProfile(p[1], p[4], Math.Exp(p[2]), Width(p), p[6], wallSide * Math.Exp(p[7]))
        {
            PlaceErrorNanometres = Math.Sqrt(fit.Covariance[3, 3]),
            CrestError = Math.Sqrt(fit.Covariance[4, 4]),
            WallError = Math.Sqrt(fit.Covariance[6, 6]),
        };
        return (profile.Measured(), p[3]);
    }

    // The crest is wide by itself, and blurred like the step.
    private static double Width(ReadOnlySpan<double> p)
    {
        double blur = Math.Exp(p[2]), own = Math.Exp(p[5]);
        return Math.Sqrt(blur * blur + own * own);
    }

    private static int Size(double pixel, double reach) => (int)Math.Ceiling(2 * reach / (BinPixels * pixel)) + 1;

    private static double Ends(StackBin[] bins, int side)
    {
        int count = Math.Max(1, bins.Length / 6);
        return (side > 0 ? bins[^count..] : bins[..count]).Average(bin => bin.Grey);
    }

    private NonlinearFit? Best(StackBin[] bins)
    {
        double outside = Ends(bins, 1), inside = Ends(bins, -1);
        double range = bins.Max(b => b.Grey) - bins.Min(b => b.Grey);
        NonlinearFit? best = null;
        foreach (double blur in (double[])[0.5, 1.2, 3])
        {
            foreach (double shift in (double[])[0, -reachNanometres / 3, reachNanometres / 3])
            {
                double middle = bins.MinBy(b => Math.Abs(b.At - shift)).Grey - (outside + inside) / 2;
                double[] start = [outside, inside - outside, Math.Log(blur * pixelNanometres), shift, middle, Math.Log(UsualCrestNanometres), 0, Math.Log(UsualWallNanometres)];
                NonlinearFit? fit = range > 0 ? NonlinearFit.Solve((p, r, s) => Model(bins, range, p, r, s), bins.Length + Priors, start) : null;
                if (fit is not null && Math.Abs(fit.Parameters[3]) < reachNanometres && (best is null || fit.SumOfSquares < best.SumOfSquares))
                {
                    best = fit;
                }
            }
        }

        return best;
    }

    private bool Model(StackBin[] bins, double range, ReadOnlySpan<double> p, Span<double> residuals, Span<double> slopes)
    {
        double least = Math.Log(SharpestPixels * pixelNanometres), most = Math.Log(reachNanometres);
        if (!(p[2] > least && p[2] < most && p[6] is > LeastWallPart and < 1))
        {
            return false;
        }

        double blur = Math.Exp(p[2]), width = Width(p), crestPart = blur * blur / (width * width);
        double wall = wallSide * Math.Exp(p[7]), part = p[6];
        if (!double.IsNormal(wall) || !double.IsNormal(width))
        {
            return false;
        }

        for (int i = 0; i < bins.Length; i++)
        {
            (double at, double grey, double weight) = bins[i];
            double d = at - p[3];
            double z = d / blur, density = Math.Exp(-z * z / 2) / Math.Sqrt(2 * Math.PI);
            double upright = EdgeProfile.Step(d, blur);
            (double ramp, double rampSlope, double rampWider, double rampLonger) = EdgeProfile.Ramp(d, blur, wall);
            double step = upright + part * (ramp - upright), stepSlope = part * rampSlope - (1 - part) * density / blur;
            double stepWider = part * rampWider + (1 - part) * density * z;
            double c = d / width, bell = Math.Exp(-c * c / 2), wider = p[4] * bell * c * c;
            residuals[i] = weight * (grey - p[0] - p[1] * step - p[4] * bell);
            Span<double> slope = slopes.Slice(i * Count, Count);
            slope[0] = -weight;
            slope[1] = -weight * step;
            slope[2] = -weight * (p[1] * stepWider + wider * crestPart);
            slope[3] = weight * (p[1] * stepSlope - p[4] * bell * c / width);
            slope[4] = -weight * bell;
            slope[5] = -weight * wider * (1 - crestPart);
            slope[6] = -weight * p[1] * (ramp - upright);
            slope[7] = -weight * p[1] * part * rampLonger;
        }

        slopes[(bins.Length * Count)..].Clear();
        Span<(int Parameter, double Usual, double Spread)> usual =
        [
            (4, 0, range), (5, Math.Log(UsualCrestNanometres), Math.Log(CrestFactor)),
            (6, 0, UsualWallPart), (7, Math.Log(UsualWallNanometres), Math.Log(WallFactor)),
        ];
        for (int i = 0; i < Priors; i++)
        {
            (int parameter, double middle, double spread) = usual[i];
            residuals[bins.Length + i] = noise * (p[parameter] - middle) / spread;
            slopes[(bins.Length + i) * Count + parameter] = noise / spread;
        }

        return true;
    }

    private readonly record struct StackBin(double At, double Grey, double Weight);
}
