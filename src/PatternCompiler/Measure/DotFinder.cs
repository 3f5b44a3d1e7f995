using System.Collections.Immutable;
using MathNet.Numerics.LinearAlgebra;
using PatternCompiler.Measure.Edges;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Measure;

/// <summary>
/// Single dots: first the middle of what differs from its surroundings, within half of the way to what is drawn next; then its edge
/// in strips all around, as those of areas.
/// </summary>
/// <param name="picture">The micrograph.</param>
/// <param name="rows">Rows of it that are picture.</param>
/// <param name="map">Where it lies.</param>
/// <param name="fitter">Finds edges in it.</param>
/// <param name="profile">The picture's profile of an edge.</param>
/// <param name="noise">Standard deviation of a pixel's noise.</param>
internal sealed class DotFinder(Micrograph picture, int rows, PictureMap map, StripFitter fitter, EdgeProfile profile, double noise)
{
    private const double LongestReachNanometres = 1000;
    private const double LeastReachPixels = 6;
    private const double NoticeablePart = 0.4;

    // Greys are averaged until their noise is no more than this part of a step.
    private const double QuietPart = 0.1;
    private const int LargestBox = 8;
    private const int FewestPixels = 12;
    private const int Strips = 16;
    private const int FewestStrips = 12;
    private const int Rounds = 4;
    private readonly StripBins bins = new();

    /// <summary>All dots that are printed in the picture, in the order of the drawing.</summary>
    public ImmutableArray<MeasuredDot> Find(FlatLayout layout, DrawnOutlines outlines)
    {
        DotVisits[] seen = [.. DotVisits.Of(layout).Where(dot => IsSeen(dot.X, dot.Y, LeastReachPixels))];
        var measured = ImmutableArray.CreateBuilder<MeasuredDot>();
        foreach (DotVisits dot in seen)
        {
            double toOther = seen.Where(other => other != dot).Select(dot.DistanceTo).DefaultIfEmpty(double.PositiveInfinity).Min();
            double reach = Math.Min(LongestReachNanometres, Math.Min(outlines.DistanceTo(dot.X, dot.Y), toOther) / 2);
            if (reach >= LeastReachPixels * map.NanometresPerPixel && Middle(dot.X, dot.Y, reach) is var (x, y, radius) && Refine(dot.X, dot.Y, x, y, radius, reach) is { } found)
            {
                (double jumpX, double jumpY) = dot.Jump;
                measured.Add(found with { Visits = dot.Count, JumpX = jumpX, JumpY = jumpY });
            }
        }

        return measured.ToImmutable();
    }

    private bool IsSeen(double x, double y, double borderPixels)
    {
        (double u, double v) = map.ToPicture(x, y);
        return Math.Abs(u) <= picture.Width / 2.0 - borderPixels && Math.Abs(v) <= rows / 2.0 - borderPixels;
    }

    private (double X, double Y, double Radius)? Middle(double x, double y, double reach)
    {
        (double u, double v) = map.ToPicture(x, y);
        (double middleU, double middleV) = ((picture.Width - 1) / 2.0, (rows - 1) / 2.0);
        double half = reach / map.NanometresPerPixel * 1.1;
        int left = Math.Max(0, (int)(middleU + u - half)), right = Math.Min(picture.Width - 1, (int)(middleU + u + half));
        int top = Math.Max(0, (int)(middleV - v - half)), bottom = Math.Min(rows - 1, (int)(middleV - v + half));
        double step = Math.Abs(profile.Height);
        int box = (int)Math.Clamp(Math.Ceiling(noise / (QuietPart * step) / 2), 0, LargestBox);
        var means = new BoxMeans(picture, left, top, right, bottom, box);
        var pixels = new List<(double X, double Y, double Grey)>();
        for (int row = top; row <= bottom; row++)
        {
            for (int column = left; column <= right; column++)
            {
                (double atX, double atY) = map.ToSample(column - middleU, middleV - row);
                if ((atX - x) * (atX - x) + (atY - y) * (atY - y) <= reach * reach)
                {
                    pixels.Add((atX, atY, means.At(column, row)));
                }
            }
        }

        if (pixels.Count < FewestPixels)
        {
            return null;
        }

        // Most of it is surroundings.
        double usual = pixels.Select(pixel => pixel.Grey).Order().ElementAt(pixels.Count / 2);
        (double X, double Y, double Grey)[] other = [.. pixels.Where(pixel => Math.Abs(pixel.Grey - usual) > NoticeablePart * step)];
        if (other.Length < FewestPixels)
        {
            return null;
        }

        double radius = Math.Sqrt(other.Length / Math.PI) * map.NanometresPerPixel;
        return (other.Average(pixel => pixel.X), other.Average(pixel => pixel.Y), radius);
    }

    private MeasuredDot? Refine(double drawnX, double drawnY, double x, double y, double radius, double reach)
    {
        double errorX = double.NaN, errorY = double.NaN;
        for (int round = 0; round < Rounds; round++)
        {
            if (Math.Sqrt((x - drawnX) * (x - drawnX) + (y - drawnY) * (y - drawnY)) + radius > reach || !IsSeen(x, y, radius / map.NanometresPerPixel))
            {
                return null;
            }

            var normal = Matrix<double>.Build.Dense(3, 3);
            var right = Vector<double>.Build.Dense(3);
            int found = 0;
            for (int i = 0; i < Strips; i++)
            {
                (double sine, double cosine) = Math.SinCos(2 * Math.PI * i / Strips);
                var across = new FacingEdge(2 * radius, 0, 0, true);
                MeasuredEdge edge = fitter.Fit(
                    new EdgeStrip(x + radius * cosine, y + radius * sine, cosine, sine, 2 * Math.PI * radius / Strips, 0, 0, across, null), profile, 0, noise, bins);
                if (!edge.IsFound)
                {
                    continue;
                }

                found++;
                double weight = 1 / (edge.StandardErrorNanometres * edge.StandardErrorNanometres);
                double[] row = [cosine, sine, 1];
                for (int a = 0; a < 3; a++)
                {
                    right[a] += weight * row[a] * edge.OffsetNanometres;
                    for (int b = 0; b < 3; b++)
                    {
                        normal[a, b] += weight * row[a] * row[b];
                    }
                }
            }

            if (found < FewestStrips)
            {
                return null;
            }

            Matrix<double> covariance = normal.Inverse();
            Vector<double> change = covariance * right;
            (x, y, radius) = (x + change[0], y + change[1], radius + change[2]);
            (errorX, errorY) = (Math.Sqrt(covariance[0, 0]), Math.Sqrt(covariance[1, 1]));
        }

        return new MeasuredDot(drawnX, drawnY, x, y, radius, errorX, errorY, 1);
    }
}
