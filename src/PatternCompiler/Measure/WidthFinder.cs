using System.Collections.Immutable;
using PatternCompiler.Calibration;
using PatternCompiler.Measure.Edges;

namespace PatternCompiler.Measure;

/// <summary>Lines and gaps between parallel edges: the drawn width and what both edges lie outside, place by place.</summary>
/// <param name="outlines">The drawing.</param>
/// <param name="edges">What was found.</param>
/// <param name="doses">Dose factors of the drawing.</param>
/// <param name="placeError">Standard error that all edges have in common; a width has it twice.</param>
internal sealed class WidthFinder(DrawnOutlines outlines, IReadOnlyList<MeasuredEdge> edges, DoseFactorsAt doses, double placeError)
{
    private const double LeastLengthInWidths = 0.5;

    // A line that has not printed, or a gap that has closed, at more of its places has no width.
    private const double LeastFound = 0.5;
    private const int MostBars = 1000;
    private const double HalfWidthsOfNormal = 1.96;

    // A bar is alone with this many of its widths to either side; a gap cuts an area this many times as wide as itself.
    private const double LonelyInWidths = 3;
    private const double BesideInGaps = 2;

    // Equal to a small part of the drawing's grid.
    private const double SameNanometres = 1e-3;

    /// <summary>All that were measured, in the order of the outlines.</summary>
    public ImmutableArray<MeasuredWidth> Find()
    {
        Dictionary<int, MeasuredEdge[]> places = edges.GroupBy(edge => edge.Strip.Stretch)
            .ToDictionary(group => group.Key, group => group.OrderBy(edge => edge.Strip.AlongNanometres).ToArray());
        var widths = ImmutableArray.CreateBuilder<MeasuredWidth>();
        foreach ((int stretch, MeasuredEdge[] own) in places.OrderBy(pair => pair.Key))
        {
            foreach (bool isGap in (bool[])[false, true])
            {
                foreach (IGrouping<int, MeasuredEdge> pair in own.Where(edge => Facing(edge.Strip, isGap) is { IsParallel: true } other && other.Stretch > stretch)
                    .GroupBy(edge => Facing(edge.Strip, isGap)!.Value.Stretch))
                {
                    if (places.TryGetValue(pair.Key, out MeasuredEdge[]? others) && Measure([.. pair], others, isGap) is { } width)
                    {
                        widths.Add(width);
                    }
                }
            }
        }

        return widths.ToImmutable();
    }

    private static FacingEdge? Facing(EdgeStrip strip, bool isGap) => isGap ? strip.Outside : strip.Inside;

    private MeasuredWidth? Measure(MeasuredEdge[] own, MeasuredEdge[] others, bool isGap)
    {
        int sign = isGap ? -1 : 1;
        var pairs = new List<(double Width, double Noise, MeasuredEdge A, MeasuredEdge B)>();
        int seen = 0;
        foreach (MeasuredEdge edge in own)
        {
            FacingEdge facing = Facing(edge.Strip, isGap)!.Value;
            MeasuredEdge other = others.MinBy(candidate => Math.Abs(candidate.Strip.AlongNanometres - facing.AlongNanometres));
            if (Math.Abs(other.Strip.AlongNanometres - facing.AlongNanometres) > other.Strip.LengthNanometres / 2)
            {
                continue;
            }

            seen++;
            if (edge.IsFound && other.IsFound)
            {
                double noise = edge.StandardErrorNanometres * edge.StandardErrorNanometres + other.StandardErrorNanometres * other.StandardErrorNanometres;
                pairs.Add((facing.Distance + sign * (edge.OffsetNanometres + other.OffsetNanometres), noise, edge, other));
            }
        }

        if (pairs.Count == 0 || pairs.Count < LeastFound * seen)
        {
            return null;
        }

        EdgeStrip first = pairs[0].A.Strip;
        double drawn = Facing(first, isGap)!.Value.Distance;
        if (pairs.Sum(pair => pair.A.Strip.LengthNanometres) < LeastLengthInWidths * drawn
            || pairs.Exists(pair => Math.Abs(Facing(pair.A.Strip, isGap)!.Value.Distance - drawn) > SameNanometres))
        {
            return null;
        }

        double mean = pairs.Average(pair => pair.Width);
        double noiseVariance = pairs.Average(pair => pair.Noise);
        double variance = pairs.Count > 1 ? pairs.Sum(pair => (pair.Width - mean) * (pair.Width - mean)) / (pairs.Count - 1) : double.NaN;
        double byPlaces = ConfidenceInterval.HalfWidths(pairs.Count - 1) * Math.Sqrt(variance / pairs.Count), byProfile = 2 * HalfWidthsOfNormal * placeError;
        double half = Math.Sqrt(byPlaces * byPlaces + byProfile * byProfile);
        double outward = isGap ? drawn / 2 : -drawn / 2;
        double x = pairs.Average(pair => pair.A.Strip.X) + outward * first.OutX, y = pairs.Average(pair => pair.A.Strip.Y) + outward * first.OutY;
        double length = Math.Min(outlines.Stretches[first.Stretch].LengthNanometres, outlines.Stretches[pairs[0].B.Strip.Stretch].LengthNanometres);
        var width = new MeasuredWidth(
            isGap, x, y, drawn, length, pairs.Count, mean, mean - half, mean + half,
            3 * Math.Sqrt(Math.Max(0, variance - noiseVariance)),
            3 * Math.Sqrt((Rough([.. pairs.Select(pair => pair.A)]) + Rough([.. pairs.Select(pair => pair.B)])) / 2));
        return Company(width, first, drawn, isGap) with { DoseFactor = DoseOf(first, x, y, drawn, isGap), AcrossX = first.OutX, AcrossY = first.OutY };
    }

    private static double Rough(MeasuredEdge[] edges)
    {
        double mean = edges.Average(edge => edge.OffsetNanometres);
        double variance = edges.Sum(edge => (edge.OffsetNanometres - mean) * (edge.OffsetNanometres - mean)) / (edges.Length - 1);
        return Math.Max(0, variance - edges.Average(edge => edge.StandardErrorNanometres * edge.StandardErrorNanometres));
    }

    private double DoseOf(EdgeStrip strip, double x, double y, double drawn, bool isGap)
    {
        if (!isGap)
        {
            return doses.At(x, y);
        }

        // Just across either edge.
        double to = drawn / 2 + 1;
        double a = doses.At(x - to * strip.OutX, y - to * strip.OutY), b = doses.At(x + to * strip.OutX, y + to * strip.OutY);
        return a == b ? a : double.NaN;
    }

    /// <summary>Equal bars at an even pitch to both sides, by the drawing.</summary>
    private MeasuredWidth Company(MeasuredWidth width, EdgeStrip strip, double drawn, bool isGap)
    {
        // From the middle outward to either side: widths of what alternates.
        double[] ahead = Chain(width, strip.OutX, strip.OutY, drawn), behind = Chain(width, -strip.OutX, -strip.OutY, drawn);
        if (isGap)
        {
            if (ahead.Length == 0 || behind.Length == 0)
            {
                return width with { Bars = 0 };
            }

            (double bar, bool isEven) = (ahead[0], Math.Abs(ahead[0] - behind[0]) < SameNanometres);
            (int before, int after) = (Bars(behind, bar, drawn), Bars(ahead, bar, drawn));
            return !isEven ? width with { Bars = 0 }
                : before == 1 && after == 1 && bar >= BesideInGaps * drawn ? width with { BesideNanometres = bar }
                : Math.Abs(before - after) == 1 ? width with { Bars = before + after, PitchNanometres = bar + drawn }
                : width with { Bars = 0 };
        }

        double gap = ahead.Take(1).Concat(behind.Take(1)).DefaultIfEmpty(double.PositiveInfinity).Min();
        if (gap > LonelyInWidths * drawn)
        {
            return width;
        }

        (int left, int right) = (Bars([.. behind.Skip(1)], drawn, gap, behind), Bars([.. ahead.Skip(1)], drawn, gap, ahead));
        return left == right && left > 0 ? width with { Bars = left + right + 1, PitchNanometres = drawn + gap }
            : width with { Bars = 0 };
    }

    private static int Bars(double[] chain, double bar, double gap, double[]? from = null)
    {
        if (from is not null && (from.Length == 0 || Math.Abs(from[0] - gap) > SameNanometres))
        {
            return 0;
        }

        int count = 0;
        for (int i = 0; i < chain.Length && Math.Abs(chain[i] - bar) < SameNanometres; i += 2)
        {
            count++;
            if (i + 1 >= chain.Length || Math.Abs(chain[i + 1] - gap) > SameNanometres)
            {
                break;
            }
        }

        return count;
    }

    private double[] Chain(MeasuredWidth width, double directionX, double directionY, double drawn)
    {
        var chain = new List<double>();
        double start = drawn / 2;
        double reach = 3 * Math.Max(drawn, width.LengthNanometres);
        (double x, double y) = (width.XNanometres + start * directionX, width.YNanometres + start * directionY);
        int edge = outlines.Across(-1, width.XNanometres, width.YNanometres, directionX, directionY, drawn) is { } own ? own.Edge : -1;
        while (chain.Count < MostBars && outlines.Across(edge, x, y, directionX, directionY, reach) is var (other, distance))
        {
            chain.Add(distance);
            (edge, x, y) = (other, x + distance * directionX, y + distance * directionY);
        }

        return [.. chain];
    }
}
