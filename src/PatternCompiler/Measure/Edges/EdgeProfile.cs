using MathNet.Numerics;

namespace PatternCompiler.Measure.Edges;

/// <summary>
/// The grey across an edge, against the distance d outside of it: step · [(1 − q) · Φ(−d/s) + q · ramp(d)] + crest · exp(−d²/2σ²). The
/// step is upright but for a part q of it, which follows a side wall of some width, blurred likewise. The edge lies at the foot of that
/// wall, where the rest of the step is half done, and under the middle of the crest.
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
    /// <param name="wallPart">Part q of the step that follows a side wall.</param>
    /// <param name="wallNanometres">Width of that wall, above zero outside of the edge, below inside.</param>
    public EdgeProfile(double height, double crest, double blurNanometres, double crestNanometres, double wallPart = 0, double wallNanometres = 0)
    {
        (Height, Crest, BlurNanometres, CrestNanometres, WallPart, WallNanometres) = (height, crest, blurNanometres, crestNanometres, wallPart, wallNanometres);
        double wide = Math.Max(blurNanometres, crestNanometres);
        step = blurNanometres / StepsInWidth;
        reach = ReachInWidths * wide + Math.Abs(wallNanometres);
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

    /// <summary>Part of the step that follows a side wall.</summary>
    public double WallPart { get; }

    /// <summary>Width of that wall, above zero outside of the edge, below inside.</summary>
    public double WallNanometres { get; }

    /// <summary>The wider of blur and crest: the crest.</summary>
    public double WidthNanometres => CrestNanometres;

    /// <summary>Integral of the square of the slope, in grey² per nanometre: what tells the place of an edge.</summary>
    public double SquaredSlope { get; private set; } = double.NaN;

    /// <summary>Standard error of the place of the edge in the profile, by which all edges of a picture may lie too far out together.</summary>
    public double PlaceErrorNanometres { get; init; }

    /// <summary>Standard error of the crest's height.</summary>
    public double CrestError { get; init; }

    /// <summary>Standard error of the wall's part.</summary>
    public double WallError { get; init; }

    /// <summary>The same with that integral.</summary>
    public EdgeProfile Measured()
    {
        SquaredSlope = slopes.Sum(slope => (double)slope * slope) * step;
        return this;
    }

    /// <summary>Integral of the squared difference from its mean, in grey² · nm, up to a distance: what tells an edge from none.</summary>
    public double SquaresWithin(double distance)
    {
        const int Parts = 64;
        double sum = 0, squares = 0;
        for (int i = 0; i < Parts; i++)
        {
            double value = At(distance * ((2 * i + 1.0) / Parts - 1)).Value;
            (sum, squares) = (sum + value, squares + value * value);
        }

        return 2 * distance * (squares - sum * sum / Parts) / Parts;
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
        double step = Step(d, BlurNanometres), stepSlope = -Density(z) / BlurNanometres;
        if (WallPart != 0)
        {
            (double ramp, double rampSlope, _, _) = Ramp(d, BlurNanometres, WallNanometres);
            (step, stepSlope) = (step + WallPart * (ramp - step), stepSlope + WallPart * (rampSlope - stepSlope));
        }

        double c = d / CrestNanometres;
        double bright = Crest * Math.Exp(-c * c / 2);
        return (Height * step + bright, Height * stepSlope - bright * c / CrestNanometres);
    }

    /// <summary>A blurred step, 1 inside.</summary>
    public static double Step(double d, double blur) => SpecialFunctions.Erfc(d / (blur * Math.Sqrt(2))) / 2;

    /// <summary>
    /// A blurred ramp that is 1 inside and falls evenly from the edge to a width outside of it, or, if that is below zero, from there to
    /// the edge; with its slopes along d, the logarithm of the blur and that of the width.
    /// </summary>
    public static (double Value, double Slope, double Wider, double Longer) Ramp(double d, double blur, double width)
    {
        // The integral of a blurred step: t·Φ(t/s) + s·φ(t/s).
        (double far, double near) = ((width - d) / blur, -d / blur);
        (double farDone, double nearDone) = (Step(d - width, blur), Step(d, blur));
        double value = (blur * (far * farDone + Density(far)) - blur * (near * nearDone + Density(near))) / width;
        return (value, (nearDone - farDone) / width, blur * (Density(far) - Density(near)) / width, farDone - value);
    }

    private static double Density(double z) => Math.Exp(-z * z / 2) / Math.Sqrt(2 * Math.PI);
}
