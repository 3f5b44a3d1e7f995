using System.Runtime.InteropServices;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Cuts one area into lines. With a spacing in nanometres the lines tile the area's extent evenly and so do the points
/// of each line; a line gets the charge of the strip that it stands for, and the strips together the charge of the area,
/// to the zeptocoulomb. With a spacing in codes, lines and points stand on every n-th code, and are written if their
/// centre lies inside.
/// </summary>
internal sealed class AreaLines
{
    /// <summary>Largest number of lines of one figure; a DAC of 24 bits has no more.</summary>
    private const int LineLimit = 1 << 24;

    private readonly List<LineCut> cuts = [];

    /// <summary>Cuts an area. The result is valid until the next call.</summary>
    /// <param name="shape">The area.</param>
    /// <param name="figure">Its number, for errors.</param>
    /// <param name="charge">Its whole charge in zeptocoulombs.</param>
    /// <param name="plan">Spacings.</param>
    /// <param name="linesAlongX">Direction of the lines.</param>
    public ReadOnlySpan<LineCut> Cut(in AreaShape shape, int figure, long charge, LayerPlan plan, bool linesAlongX)
    {
        cuts.Clear();
        (double pitch, PointGrid? rows) = plan.Pitch(linesAlongX);
        (double step, PointGrid? columns) = plan.Step(linesAlongX);
        double lines = (shape.High - shape.Low) / pitch;
        if (lines > LineLimit)
        {
            throw new CompileException(
                FillCodes.TooManyPoints,
                $"the figure would need {lines:0} lines, more than {LineLimit}",
                new SourcePlace(null, Entity: $"figure {figure}"),
                "raise the line pitch");
        }

        double density = charge / shape.Area;
        if (rows is PointGrid onCodes)
        {
            CutOnCodes(shape, onCodes, columns, step, density, figure);
        }
        else
        {
            CutEvenly(shape, Math.Max(1, (int)Math.Round(lines)), columns, pitch, step, charge, plan.SmallestPointCharge, figure);
        }

        return CollectionsMarshal.AsSpan(cuts);
    }

    private void CutEvenly(
        in AreaShape shape, int count, PointGrid? columns, double pitch, double step, long charge, long smallest, int figure)
    {
        double extent = shape.High - shape.Low;
        double density = charge / shape.Area;

        // Where even a regular point is below the smallest charge, thinning points out would only hide it.
        bool thinsOut = density * pitch * step >= smallest;
        long given = 0;
        long carried = 0;
        for (int i = 0; i < count; i++)
        {
            // Cumulative charge is rounded, not each strip's own: the sum comes out exact.
            double boundary = shape.Low + extent * (i + 1) / count;
            long due = i == count - 1 ? charge : Math.Clamp((long)Math.Round(density * shape.AreaBelow(boundary)), given, charge);
            carried += due - given;
            given = due;

            long v = shape.Low + (long)Math.Floor(extent * (2 * i + 1) / (2 * count) + 0.5);
            (long start, long end) = shape.At(v);
            if (columns is PointGrid grid)
            {
                AddOnCodes(v, start, end, grid, density * (extent / count) * step, figure);
                continue;
            }

            // Strips narrower than half a step share a point as soon as they have half the charge of a regular one.
            double points = Math.Round((end - start) / step);
            if (points < 1 && carried >= density * pitch * step / 2)
            {
                points = 1;
            }

            if (thinsOut && smallest > 0)
            {
                points = Math.Min(points, Math.Floor((double)carried / smallest));
            }

            if (points < 1)
            {
                continue;
            }

            Add(v, start, end, points, carried, figure);
            carried = 0;
        }

        if (columns is null && carried > 0)
        {
            AddLeftOver(shape, carried);
        }
    }

    private void CutOnCodes(in AreaShape shape, PointGrid rows, PointGrid? columns, double step, double density, int figure)
    {
        for (long row = rows.FirstFrom(shape.Low); rows.PositionOf(row) < shape.High; row++)
        {
            long v = rows.PositionOf(row);
            (long start, long end) = shape.At(v);
            if (columns is PointGrid grid)
            {
                AddOnCodes(v, start, end, grid, density * rows.Step * step, figure);
            }
            else if (end > start)
            {
                long charge = (long)Math.Round(density * rows.Step * (end - start));
                Add(v, start, end, Math.Max(1, Math.Round((end - start) / step)), charge, figure);
            }
        }
    }

    private void AddOnCodes(long v, long start, long end, PointGrid columns, double pointCharge, int figure)
    {
        long first = columns.FirstFrom(start);
        long beyond = columns.FirstFrom(end);
        if (beyond > first)
        {
            RequireCountable(beyond - first, figure);
            long charge = (long)Math.Round(pointCharge * (beyond - first));
            cuts.Add(new(v, columns.PositionOf(first), columns.PositionOf(beyond - 1), (int)(beyond - first), charge));
        }
    }

    private void Add(long v, long start, long end, double points, long charge, int figure)
    {
        RequireCountable(points, figure);
        long inset = (long)Math.Round((end - start) / (2 * points));
        (long first, long last) = points == 1 ? (start + inset, start + inset) : (start + inset, end - inset);
        cuts.Add(new(v, first, last, (int)points, charge));
    }

    /// <summary>Charge of strips too narrow for a point goes to the line before them, or to a point of its own.</summary>
    private void AddLeftOver(in AreaShape shape, long charge)
    {
        if (cuts.Count > 0)
        {
            LineCut last = cuts[^1];
            cuts[^1] = last with { Charge = last.Charge + charge };
            return;
        }

        long v = shape.Low + (shape.High - shape.Low) / 2;
        (long start, long end) = shape.At(v);
        long u = start + (end - start) / 2;
        cuts.Add(new(v, u, u, 1, charge));
    }

    /// <summary>Refuses more points in one stroke than a document can count.</summary>
    public static void RequireCountable(double points, int figure)
    {
        if (points > int.MaxValue)
        {
            throw new CompileException(
                FillCodes.TooManyPoints,
                $"a line of the figure would need {points:0} points, more than {int.MaxValue}",
                new SourcePlace(null, Entity: $"figure {figure}"),
                "raise the point step");
        }
    }
}
