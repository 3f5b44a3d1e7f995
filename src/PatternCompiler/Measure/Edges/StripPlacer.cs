using PatternCompiler.Measure.Registration;

namespace PatternCompiler.Measure.Edges;

/// <summary>Divides the drawn edges within a picture into strips.</summary>
/// <param name="outlines">The outlines.</param>
/// <param name="map">Where the picture lies.</param>
/// <param name="halfWidth">Half of its width, in pixels.</param>
/// <param name="halfHeight">Half of its height.</param>
internal sealed class StripPlacer(DrawnOutlines outlines, PictureMap map, double halfWidth, double halfHeight)
{
    private const double CornerNanometres = 100;
    private const double CornerPart = 0.25;
    private const double CornerBlurs = 4;
    private const double ShortestPixels = 2;
    private const double LargestSagPixels = 0.1;
    private const double ParallelCosine = 0.9999;
    private const double BorderPixels = 3;

    /// <summary>All strips, in the order of the outlines.</summary>
    /// <param name="lengthNanometres">Length wanted along the edge.</param>
    /// <param name="blurNanometres">Width of an edge in the picture.</param>
    /// <param name="reach">How far to look for what lies across.</param>
    public List<EdgeStrip> Place(double lengthNanometres, double blurNanometres, double reach)
    {
        double pixel = map.NanometresPerPixel;
        var strips = new List<EdgeStrip>();
        for (int index = 0; index < outlines.Edges.Count; index++)
        {
            DrawnEdge edge = outlines.Edges[index];
            DrawnStretch stretch = outlines.Stretches[edge.Stretch];
            double corner = stretch.IsClosed ? 0 : Math.Max(CornerBlurs * blurNanometres, Math.Min(CornerNanometres, CornerPart * stretch.LengthNanometres));
            double usable = stretch.LengthNanometres - 2 * corner;
            if (usable < ShortestPixels * pixel)
            {
                continue;
            }

            double longest = stretch.LargestCurvature > 0 ? Math.Sqrt(8 * LargestSagPixels * pixel / stretch.LargestCurvature) : double.PositiveInfinity;
            double length = usable / Math.Max(1, Math.Round(usable / Math.Min(lengthNanometres, longest)));
            double edgeLength = edge.Length;
            (double tx, double ty) = ((edge.BX - edge.AX) / edgeLength, (edge.BY - edge.AY) / edgeLength);
            if (Seen(edge, tx, ty, edgeLength) is not var (from, to))
            {
                continue;
            }

            // Strip number i has its middle at corner + (i + 1/2) · length.
            double first = Math.Max(0, Math.Ceiling((edge.StartNanometres + from - corner) / length - 0.5));
            for (double i = first; ; i++)
            {
                double along = corner + (i + 0.5) * length - edge.StartNanometres;
                if (along >= edgeLength || along > to || corner + (i + 0.5) * length > stretch.LengthNanometres - corner)
                {
                    break;
                }

                Add(strips, index, edge, along, tx, ty, length, reach);
            }
        }

        return strips;
    }

    private void Add(List<EdgeStrip> strips, int index, DrawnEdge edge, double along, double tx, double ty, double length, double reach)
    {
        (double x, double y) = (edge.AX + along * tx, edge.AY + along * ty);
        if (!IsSeen(x + length / 2 * tx, y + length / 2 * ty) || !IsSeen(x - length / 2 * tx, y - length / 2 * ty))
        {
            return;
        }

        strips.Add(new EdgeStrip(x, y, ty, -tx, length, edge.Stretch, edge.StartNanometres + along, Facing(-1), Facing(1)));

        FacingEdge? Facing(int side)
        {
            if (outlines.Across(index, x, y, side * ty, -side * tx, reach) is not var (other, distance))
            {
                return null;
            }

            DrawnEdge found = outlines.Edges[other];
            double size = found.Length;
            (double ox, double oy) = ((found.BX - found.AX) / size, (found.BY - found.AY) / size);
            (double hitX, double hitY) = (x + side * distance * ty - found.AX, y - side * distance * tx - found.AY);
            return new FacingEdge(distance, found.Stretch, found.StartNanometres + hitX * ox + hitY * oy, ox * tx + oy * ty < -ParallelCosine);
        }
    }

    private bool IsSeen(double x, double y)
    {
        (double u, double v) = map.ToPicture(x, y);
        return Math.Abs(u) <= halfWidth - BorderPixels && Math.Abs(v) <= halfHeight - BorderPixels;
    }

    // The part of an edge that lies in the picture, by the picture's own axes.
    private (double From, double To)? Seen(DrawnEdge edge, double tx, double ty, double length)
    {
        (double u, double v) = map.ToPicture(edge.AX, edge.AY);
        (double endU, double endV) = map.ToPicture(edge.AX + tx, edge.AY + ty);
        (double from, double to) = (0, length);
        return Clip(u, endU - u, halfWidth, ref from, ref to) && Clip(v, endV - v, halfHeight, ref from, ref to) ? (from, to) : null;
    }

    private static bool Clip(double start, double slope, double half, ref double from, ref double to)
    {
        if (slope == 0)
        {
            return Math.Abs(start) <= half;
        }

        (double a, double b) = ((-half - start) / slope, (half - start) / slope);
        (from, to) = (Math.Max(from, Math.Min(a, b)), Math.Min(to, Math.Max(a, b)));
        return from <= to;
    }
}
