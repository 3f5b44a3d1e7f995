using System.Runtime.InteropServices;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Cuts an area into rows of even dose. Whatever the rule, the rows together have the charge of the area; rows on codes
/// also keep its centroid (except by the plain rule).
/// </summary>
internal sealed class RowCutter
{
    private readonly List<RowCut> rows = [];
    private readonly List<RowKernel> kernels = [];

    /// <summary>Cuts an area. The result is valid until the next call.</summary>
    /// <param name="shape">The area.</param>
    /// <param name="axis">Spacing of the rows.</param>
    /// <param name="density">Charge per area.</param>
    /// <param name="smallestShare">Smallest part of a full row's dose that a row on the edge may have.</param>
    public ReadOnlySpan<RowCut> Cut(in AreaShape shape, in AxisPlan axis, double density, double smallestShare)
    {
        rows.Clear();
        switch (axis.Rule)
        {
            case AxisRule.Free:
                CutFreely(shape, axis.Spacing, density);
                break;
            case AxisRule.Spread:
                CutOntoCodes(shape, axis, density, smallestShare);
                break;
            case AxisRule.Shared:
                CutShared(shape, axis, density, smallestShare);
                break;
            default:
                CutAtCentres(shape, axis.Nodes, density);
                break;
        }

        return CollectionsMarshal.AsSpan(rows);
    }

    /// <summary>Rows tile the extent evenly; each stands in the middle of its strip.</summary>
    private void CutFreely(in AreaShape shape, double pitch, double density)
    {
        double extent = shape.High - shape.Low;
        int count = Math.Max(1, (int)Math.Round(extent / pitch));
        double below = 0;
        for (int i = 0; i < count; i++)
        {
            double upTo = i == count - 1 ? shape.Area : shape.AreaBelow(shape.Low + extent * (i + 1) / count);
            long v = shape.Low + (long)Math.Floor(extent * (2 * i + 1) / (2 * count) + 0.5);
            (long start, long end) = shape.At(v);
            rows.Add(new(v, start, end, density * Math.Max(0, upTo - below)));
            below = Math.Max(below, upTo);
        }
    }

    /// <summary>
    /// Rows tile the extent evenly as by <see cref="CutFreely"/>; the dose of each is shared between the two codes around
    /// it, so that its centroid stays.
    /// </summary>
    private void CutOntoCodes(in AreaShape shape, in AxisPlan axis, double density, double smallestShare)
    {
        Span<double> corners = stackalloc double[4];
        corners = corners[..shape.Corners(corners)];
        PointGrid codes = axis.Codes;
        double extent = shape.High - shape.Low;
        double most = Math.Max(1, Math.Floor(extent / codes.Step));
        int count = (int)Math.Clamp(Math.Round(extent / axis.Spacing), 1, most);
        double reference = shape.Between(shape.Low + extent / 2).Start;

        // How far the centroid is off so far, as charge times codes: the next strip makes up for it.
        double moment = 0;
        for (int i = 0; i < count; i++)
        {
            var strip = new RowMoments(reference);
            foreach (ShapePiece piece in new ShapePieces(shape, corners, shape.Low + extent * i / count, shape.Low + extent * (i + 1) / count))
            {
                strip.Add(piece, 1, 1);
            }

            if (!(strip.Area > 0))
            {
                continue;
            }

            double charge = density * strip.Area;
            double place = (strip.CentreAcross - codes.Origin) / codes.Step + moment / charge;
            (long code, double share) = CodeShare.Of(place, smallestShare);
            moment = charge * (place - code - share);
            AddRow(codes.PositionOf(code), strip, charge * (1 - share));
            AddRow(codes.PositionOf(code + 1), strip, charge * share);
        }
    }

    /// <summary>Adds a row, or adds to the last one if that stands on the same code.</summary>
    private void AddRow(long v, in RowMoments strip, double charge)
    {
        if (charge <= 0)
        {
            return;
        }

        (double start, double end) = strip.Interval();
        if (rows.Count > 0 && rows[^1].V == v)
        {
            RowCut last = rows[^1];
            double part = charge / (last.Charge + charge);
            rows[^1] = new(v, last.Start + part * (start - last.Start), last.End + part * (end - last.End), last.Charge + charge);
            return;
        }

        rows.Add(new(v, start, end, charge));
    }

    /// <summary>Every height shares its dose linearly between the two rows around it.</summary>
    private void CutShared(in AreaShape shape, in AxisPlan axis, double density, double smallestShare)
    {
        Span<double> corners = stackalloc double[4];
        corners = corners[..shape.Corners(corners)];
        PointGrid nodes = axis.Nodes;
        double reference = shape.Between(shape.Low + (shape.High - shape.Low) / 2).Start;
        RowKernel.Collect((shape.Low - nodes.Origin) / nodes.Step, (shape.High - nodes.Origin) / nodes.Step, smallestShare, kernels);
        foreach (RowKernel kernel in kernels)
        {
            var moments = new RowMoments(reference);
            for (long cell = kernel.FirstCell; cell <= kernel.LastCell; cell++)
            {
                double from = nodes.Origin + cell * nodes.Step;
                double weight0 = kernel.At(cell);
                double slope = (kernel.At(cell + 1) - weight0) / nodes.Step;
                foreach (ShapePiece piece in new ShapePieces(shape, corners, from, from + nodes.Step))
                {
                    moments.Add(piece, weight0 + slope * (piece.V0 - from), weight0 + slope * (piece.V1 - from));
                }
            }

            if (moments.Area > 0)
            {
                (double start, double end) = moments.Interval();
                rows.Add(new(nodes.PositionOf(kernel.Row), start, end, density * moments.Area));
            }
        }
    }

    /// <summary>Rows whose centre lies inside, all with a full row's dose.</summary>
    private void CutAtCentres(in AreaShape shape, PointGrid nodes, double density)
    {
        for (long row = nodes.FirstFrom(shape.Low); nodes.PositionOf(row) < shape.High; row++)
        {
            long v = nodes.PositionOf(row);
            (long start, long end) = shape.At(v);
            if (end > start)
            {
                rows.Add(new(v, start, end, density * nodes.Step * (end - start)));
            }
        }
    }
}

/// <summary>One line of an area before points are placed on it: an interval of even dose.</summary>
/// <param name="V">Position across the lines, in femtometres.</param>
/// <param name="Start">Start of the interval along the line.</param>
/// <param name="End">End of the interval.</param>
/// <param name="Charge">Charge in zeptocoulombs.</param>
internal readonly record struct RowCut(long V, double Start, double End, double Charge);
