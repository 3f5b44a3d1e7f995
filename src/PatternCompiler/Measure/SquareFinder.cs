using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Measure.Edges;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;

namespace PatternCompiler.Measure;

/// <summary>
/// Whether squares print: the middle half of each, against a frame around it a quarter of its side away, over the step of a printed
/// edge; above two thirds it prints, below one third it does not.
/// </summary>
internal sealed class SquareFinder(Micrograph picture, int rows, PictureMap map, EdgeProfile profile, double usualStrength, DoseFactorsAt doses)
{
    private const double Middle = 0.25;
    private const double FrameFrom = 0.58;
    private const double FrameTo = 0.65;
    private const double LargestAspect = 1.2;
    private const double Prints = 2 / 3.0;
    private const double Remains = 1 / 3.0;
    private const double SmallestPixels = 12;

    /// <summary>All squares that lie in the picture, from the top down and left to right.</summary>
    public ImmutableArray<MeasuredSquare> Find(ContourSet outlines, long gridPicometres)
    {
        double scale = gridPicometres * 1e-3, step = usualStrength * profile.Height;
        var squares = new List<MeasuredSquare>();
        for (int i = 0; i < outlines.Count; i++)
        {
            ReadOnlySpan<GridPoint> ring = outlines[i];
            GridBox box = GridBox.Around(ring);
            (double width, double height) = (((double)box.XRight - box.XLeft) * scale, ((double)box.YTop - box.YBottom) * scale);
            double side = Math.Min(width, height);
            if (ring.Length != 4 || !IsUpright(ring) || Math.Max(width, height) > LargestAspect * side || side < SmallestPixels * map.NanometresPerPixel)
            {
                continue;
            }

            (double x, double y) = (((double)box.XLeft + box.XRight) / 2 * scale, ((double)box.YBottom + box.YTop) / 2 * scale);
            if (Mean(x, y, width, height, 0, Middle) is { } inside && Mean(x, y, width, height, FrameFrom, FrameTo) is { } around)
            {
                double contrast = (inside - around) / step;
                squares.Add(new MeasuredSquare(x, y, side, doses.At(x, y), contrast, contrast > Prints ? true : contrast < Remains ? false : null));
            }
        }

        return [.. squares.OrderByDescending(square => square.YNanometres).ThenBy(square => square.XNanometres)];
    }

    private static bool IsUpright(ReadOnlySpan<GridPoint> ring)
    {
        for (int k = 0; k < ring.Length; k++)
        {
            if (ring[k].X != ring[(k + 1) % ring.Length].X && ring[k].Y != ring[(k + 1) % ring.Length].Y)
            {
                return false;
            }
        }

        return true;
    }

    // Mean grey between two frames, given as parts of the sides; null if the outer one leaves the picture.
    private double? Mean(double x, double y, double width, double height, double from, double to)
    {
        (double middleU, double middleV) = ((picture.Width - 1) / 2.0, (rows - 1) / 2.0);
        double left = double.PositiveInfinity, right = double.NegativeInfinity, bottom = double.PositiveInfinity, top = double.NegativeInfinity;
        foreach ((int sideX, int sideY) in ((int, int)[])[(1, 1), (1, -1), (-1, 1), (-1, -1)])
        {
            (double u, double v) = map.ToPicture(x + sideX * to * width, y + sideY * to * height);
            (left, right, bottom, top) = (Math.Min(left, u), Math.Max(right, u), Math.Min(bottom, v), Math.Max(top, v));
        }

        if (left < -middleU || right > middleU || bottom < -middleV || top > middleV)
        {
            return null;
        }

        double sum = 0;
        long count = 0;
        for (int row = (int)Math.Ceiling(middleV - top); row <= middleV - bottom; row++)
        {
            for (int column = (int)Math.Ceiling(left + middleU); column <= right + middleU; column++)
            {
                (double px, double py) = map.ToSample(column - middleU, middleV - row);
                double part = Math.Max(Math.Abs(px - x) / width, Math.Abs(py - y) / height);
                if (part >= from && part <= to)
                {
                    sum += picture.Values.Span[row * picture.Width + column];
                    count++;
                }
            }
        }

        return count > 0 ? sum / count : null;
    }
}
