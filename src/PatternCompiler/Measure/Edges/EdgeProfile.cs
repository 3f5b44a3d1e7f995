using MathNet.Numerics;

namespace PatternCompiler.Measure.Edges;

/// <summary>
/// The grey across an edge, against the distance d outside of it: step · Φ(−d/s) + crest · exp(−d²/2σ²). The edge lies where the
/// step is half done and, where edges are bright, under the middle of the crest.
/// </summary>
internal sealed class EdgeProfile
{
    private const double ReachInWidths = 8;
    private const int StepsInWidth = 64;

    private readonly float[] values;
    private readonly float[] slopes;
    private readonly double step;
    private readonly double reach;

    /// <summary>A profile.</summary>
    /// <param name="height">Grey inside less grey outside.</param>
    /// <param name="crest">Height of the crest; negative if edges are dark.</param>
    /// <param name="blurNanometres">Standard deviation s of the step's blur.</param>
    /// <param name="crestNanometres">Standard deviation σ of the crest.</param>
    public EdgeProfile(double height, double crest, double blurNanometres, double crestNanometres)
    {
        (Height, Crest, BlurNanometres, CrestNanometres) = (height, crest, blurNanometres, crestNanometres);
        double narrow = crest == 0 ? blurNanometres : Math.Min(blurNanometres, crestNanometres);
        double wide = crest == 0 ? blurNanometres : Math.Max(blurNanometres, crestNanometres);
        step = narrow / StepsInWidth;
        reach = ReachInWidths * wide;
        int count = 2 * (int)Math.Ceiling(reach / step) + 1;
        (values, slopes) = (new float[count], new float[count]);
        reach = count / 2 * step;
        for (int i = 0; i < count; i++)
        {
            (double value, double slope) = Exact(i * step - reach);
            (values[i], slopes[i]) = ((float)value, (float)slope);
        }
    }

    /// <summary>Grey inside less grey outside.</summary>
    public double Height { get; }

    /// <summary>Height of the crest.</summary>
    public double Crest { get; }

    /// <summary>Standard deviation of the step's blur.</summary>
    public double BlurNanometres { get; }

    /// <summary>Standard deviation of the crest.</summary>
    public double CrestNanometres { get; }

    /// <summary>The wider of blur and crest.</summary>
    public double WidthNanometres => Crest == 0 ? BlurNanometres : Math.Max(BlurNanometres, CrestNanometres);

    /// <summary>Integral of the square of the slope, in grey² per nanometre: what tells the place of an edge.</summary>
    public double SquaredSlope { get; private set; } = double.NaN;

    /// <summary>Standard error of the place of the edge in the profile, by which all edges of a picture may lie too far out together.</summary>
    public double PlaceErrorNanometres { get; init; }

    /// <summary>The same with that integral.</summary>
    public EdgeProfile Measured()
    {
        SquaredSlope = slopes.Sum(slope => (double)slope * slope) * step;
        return this;
    }

    /// <summary>Grey above that outside, and its slope.</summary>
    public (double Value, double Slope) At(double d)
    {
        double at = (d + reach) / step;
        if (!(at > 0))
        {
            return (Height, 0);
        }

        int index = (int)at;
        if (index >= values.Length - 1)
        {
            return (0, 0);
        }

        double part = at - index;
        return (values[index] + (values[index + 1] - values[index]) * part, slopes[index] + (slopes[index + 1] - slopes[index]) * part);
    }

    /// <summary>The same without a table.</summary>
    public (double Value, double Slope) Exact(double d)
    {
        double z = d / BlurNanometres;
        double value = Height * SpecialFunctions.Erfc(z / Math.Sqrt(2)) / 2;
        double slope = -Height * Math.Exp(-z * z / 2) / (Math.Sqrt(2 * Math.PI) * BlurNanometres);
        if (Crest != 0)
        {
            double c = d / CrestNanometres;
            double bright = Crest * Math.Exp(-c * c / 2);
            value += bright;
            slope -= bright * c / CrestNanometres;
        }

        return (value, slope);
    }
}
