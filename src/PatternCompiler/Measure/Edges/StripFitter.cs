using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;

namespace PatternCompiler.Measure.Edges;

/// <summary>
/// Looks for the printed edge in strips: least squares of base + strength · profile(d − offset), with the edges across from it in
/// their expected places, on every pixel whose middle lies in the strip, at its exact distance.
/// </summary>
/// <param name="picture">The micrograph.</param>
/// <param name="rows">Rows of it that are picture.</param>
/// <param name="map">Where it lies.</param>
/// <param name="searchNanometres">How far from a drawn edge the printed one is looked for.</param>
internal sealed class StripFitter(Micrograph picture, int rows, PictureMap map, double searchNanometres)
{
    private const double BinPixels = 0.5;
    private const double WindowWidths = 6;
    private const double FewestBins = 6;
    private const double LeastStrength = 0.35;
    private const double LargestStrength = 3;
    private const double LargestErrorPixels = 1;

    /// <summary>
    /// An edge must lower the sum of squares of one even grey by this many times a pixel's variance. Noise alone lowers it by 2, and by
    /// 30 at one place of 3 million.
    /// </summary>
    public const double LeastGain = 30;

    /// <summary>The same where some wrong ones do no harm.</summary>
    public const double WeakGain = 10;

    private const int Steps = 12;
    private const int Fitted = 3;
    private const double SettledPixels = 1e-4;

    private readonly double pixel = map.NanometresPerPixel;

    /// <summary>Greys of a strip against the distance outside of the drawn edge, in bins.</summary>
    public int Gather(EdgeStrip strip, StripBins bins)
    {
        (double low, double high) = Range(strip);
        bins.Start(low, high, BinPixels * pixel);
        double half = strip.LengthNanometres / 2;
        (double tx, double ty) = (-strip.OutY, strip.OutX);
        double left = double.PositiveInfinity, right = double.NegativeInfinity, bottom = double.PositiveInfinity, top = double.NegativeInfinity;
        foreach ((double along, double across) in ((double, double)[])[(-half, low), (half, low), (-half, high), (half, high)])
        {
            (double u, double v) = map.ToPicture(strip.X + along * tx + across * strip.OutX, strip.Y + along * ty + across * strip.OutY);
            (left, right, bottom, top) = (Math.Min(left, u), Math.Max(right, u), Math.Min(bottom, v), Math.Max(top, v));
        }

        (double middleU, double middleV) = ((picture.Width - 1) / 2.0, (rows - 1) / 2.0);
        int firstColumn = Math.Max(0, (int)Math.Ceiling(left + middleU)), lastColumn = Math.Min(picture.Width - 1, (int)Math.Floor(right + middleU));
        int firstRow = Math.Max(0, (int)Math.Ceiling(middleV - top)), lastRow = Math.Min(rows - 1, (int)Math.Floor(middleV - bottom));
        ReadOnlySpan<float> values = picture.Values.Span;
        for (int row = firstRow; row <= lastRow; row++)
        {
            ReadOnlySpan<float> line = values.Slice(row * picture.Width, picture.Width);
            for (int column = firstColumn; column <= lastColumn; column++)
            {
                (double x, double y) = map.ToSample(column - middleU, middleV - row);
                (double dx, double dy) = (x - strip.X, y - strip.Y);
                if (Math.Abs(dx * tx + dy * ty) <= half)
                {
                    bins.Add(dx * strip.OutX + dy * strip.OutY, line[column]);
                }
            }
        }

        return bins.Close();
    }

    /// <summary>Fits a strip.</summary>
    /// <param name="strip">The strip.</param>
    /// <param name="profile">The profile of an edge in this picture.</param>
    /// <param name="usualOffset">Where other edges lie, about.</param>
    /// <param name="noise">Standard deviation of a pixel's noise.</param>
    /// <param name="bins">Room for its greys.</param>
    /// <param name="leastGain">By how much an edge must be better than none.</param>
    public MeasuredEdge Fit(EdgeStrip strip, EdgeProfile profile, double usualOffset, double noise, StripBins bins, double leastGain = LeastGain)
    {
        var lost = new MeasuredEdge(strip, double.NaN, double.NaN, double.NaN, double.NaN, double.NaN);
        int count = Gather(strip, bins);
        if (count < FewestBins)
        {
            return lost;
        }

        Neighbours(strip, profile, usualOffset, bins);
        (double low, double high) = Range(strip);
        double window = WindowWidths * profile.WidthNanometres;
        double best = double.PositiveInfinity, offset = double.NaN;
        double step = Math.Max(profile.BlurNanometres, pixel) / 2;
        double inner = low + Math.Min(window / 4, -low / 2), outer = high - Math.Min(window / 4, high / 2);
        for (double at = inner; at <= outer; at += step)
        {
            (double squares, _, _, double strength) = Linear(bins, count, profile, at, double.NegativeInfinity, double.PositiveInfinity);
            if (strength > LeastStrength && squares < best)
            {
                (best, offset) = (squares, at);
            }
        }

        return double.IsNaN(offset) ? lost : Refine(strip, profile, noise, bins, count, offset, window, leastGain) ?? lost;
    }

    private MeasuredEdge? Refine(EdgeStrip strip, EdgeProfile profile, double noise, StripBins bins, int count, double start, double window, double leastGain)
    {
        (double low, double high) = Range(strip);
        double offset = start, error = double.NaN, even = double.NaN, level = double.NaN, strength = double.NaN, squares = double.NaN;
        int used = 0;
        for (int i = 0; i < Steps; i++)
        {
            (double from, double to) = (offset - window, offset + window);
            (_, even, level, strength) = Linear(bins, count, profile, offset, from, to);
            if (!(strength is > LeastStrength and < LargestStrength))
            {
                return null;
            }

            // Base, strength and offset together; what base and strength can take over is not counted for the offset.
            double n = 0, sp = 0, spp = 0, ss = 0, sps = 0, sss = 0, sr = 0, spr = 0, ssr = 0;
            (squares, used) = (0, 0);
            for (int k = 0; k < count; k++)
            {
                double d = bins.At(k);
                if (d < from || d > to)
                {
                    continue;
                }

                (double value, double slope) = profile.At(d - offset);
                double shape = value + bins.Neighbours[k], turn = -strength * slope, w = bins.Count(k);
                double residual = bins.Grey(k) - level - strength * shape;
                (n, sp, spp) = (n + w, sp + w * shape, spp + w * shape * shape);
                (ss, sps, sss) = (ss + w * turn, sps + w * shape * turn, sss + w * turn * turn);
                (sr, spr, ssr) = (sr + w * residual, spr + w * shape * residual, ssr + w * turn * residual);
                squares += w * residual * residual;
                used++;
            }

            double determinant = n * spp - sp * sp;
            if (!(n > 0 && determinant > 0))
            {
                return null;
            }

            // Slope and residual with their projections on base and shape taken out.
            double a = (ss * spp - sps * sp) / determinant, b = (n * sps - sp * ss) / determinant;
            double information = sss - a * ss - b * sps;
            double pull = ssr - a * sr - b * spr;
            if (!(information > 0))
            {
                return null;
            }

            double change = Math.Clamp(pull / information, -2 * pixel, 2 * pixel);
            offset += change;
            error = noise / Math.Sqrt(information);
            if (offset <= low || offset >= high)
            {
                return null;
            }

            if (Math.Abs(change) < SettledPixels * pixel)
            {
                break;
            }
        }

        // A bin's mean has the noise of a pixel over the root of their number, which its weight takes out.
        if (!(error <= LargestErrorPixels * pixel && used > Fitted))
        {
            return null;
        }

        // Of many places, noise looks like a weak edge at some: where nothing printed, or a gap has closed.
        double variance = squares / (used - Fitted);
        return even - squares > leastGain * Math.Max(noise * noise, variance) ? new MeasuredEdge(strip, offset, error, level, strength, variance) : null;
    }

    private (double Low, double High) Range(EdgeStrip strip) => (
        -Math.Min(searchNanometres, (strip.Inside?.Distance ?? double.PositiveInfinity) / 2),
        Math.Min(searchNanometres, (strip.Outside?.Distance ?? double.PositiveInfinity) / 2));

    // What the edges across add to base and own edge, as far as they reach.
    private static void Neighbours(EdgeStrip strip, EdgeProfile profile, double usualOffset, StripBins bins)
    {
        for (int k = 0; k < bins.Used; k++)
        {
            double d = bins.At(k), added = 0;
            if (strip.Inside is { } inside)
            {
                added += profile.At(-d - inside.Distance - usualOffset).Value - profile.Height;
            }

            if (strip.Outside is { } outside)
            {
                added += profile.At(outside.Distance - usualOffset - d).Value;
            }

            bins.Neighbours[k] = added;
        }
    }

    // Even is the sum of squares about one grey, without an edge.
    private static (double Squares, double Even, double Base, double Strength) Linear(StripBins bins, int count, EdgeProfile profile, double offset, double from, double to)
    {
        double n = 0, s = 0, ss = 0, g = 0, gg = 0, sg = 0;
        for (int k = 0; k < count; k++)
        {
            double d = bins.At(k);
            if (d < from || d > to)
            {
                continue;
            }

            double shape = profile.At(d - offset).Value + bins.Neighbours[k], w = bins.Count(k), grey = bins.Grey(k);
            (n, s, ss) = (n + w, s + w * shape, ss + w * shape * shape);
            (g, gg, sg) = (g + w * grey, gg + w * grey * grey, sg + w * shape * grey);
        }

        double determinant = n * ss - s * s;
        if (!(determinant > 1e-9 * n * ss))
        {
            return (double.PositiveInfinity, double.NaN, double.NaN, double.NaN);
        }

        double strength = (n * sg - s * g) / determinant;
        double level = (g - strength * s) / n;
        return (gg - level * g - strength * sg, gg - g * g / n, level, strength);
    }
}
