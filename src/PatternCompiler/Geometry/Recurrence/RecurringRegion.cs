using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Geometry.Recurrence;

/// <summary>Sweeps each part of an area that recurs once and moves what comes of it to where the part occurs.</summary>
internal static class RecurringRegion
{
    /// <summary>The outlines of an area.</summary>
    /// <param name="recurring">Its parts.</param>
    /// <param name="sweep">Gives the outlines of one part.</param>
    /// <param name="threads">Threads to use.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public static ContourSet Outlines(RecurringParts recurring, Func<ContourSet, ContourSet> sweep, int threads, CancellationToken cancellation)
    {
        ContourSet[] outlines = [.. recurring.Parts.Select(sweep)];
        GridPoint[][] places = [.. outlines.Select(FirstPoints)];
        CopyOrder order = CopyOrder.Find(places, recurring.Copies);
        int[] firstRings = Starts(order, copy => copy.Count);
        int[] firstPoints = Starts(order, copy => PointCount(outlines[copy.Part], copy));
        GridPoint[] points = GC.AllocateUninitializedArray<GridPoint>(firstPoints[^1]);
        int[] ends = GC.AllocateUninitializedArray<int>(firstRings[^1]);
        ForGroups(order, threads, (group, sort) =>
        {
            var writer = new RingWriter(outlines, points, ends, firstRings[group], firstPoints[group]);
            order.ForEach(group, sort, ref writer);
        }, cancellation);
        return points.Length == 0 ? ContourSet.Empty : new ContourSet(points, ends);
    }

    /// <summary>The trapezoids of an area.</summary>
    /// <inheritdoc cref="Outlines"/>
    public static Trapezoid[] Decompose(RecurringParts recurring, Func<ContourSet, Trapezoid[]> sweep, int threads, CancellationToken cancellation)
    {
        Trapezoid[][] pieces = [.. recurring.Parts.Select(sweep)];
        GridPoint[][] places = [.. pieces.Select(part => Array.ConvertAll(part, LowerLeft))];
        CopyOrder order = CopyOrder.Find(places, recurring.Copies);
        int[] firsts = Starts(order, copy => copy.Count);
        Trapezoid[] result = GC.AllocateUninitializedArray<Trapezoid>(firsts[^1]);
        ForGroups(order, threads, (group, sort) =>
        {
            var writer = new PieceWriter(pieces, result, firsts[group]);
            order.ForEach(group, sort, ref writer);
        }, cancellation);
        return result;
    }

    private static void ForGroups(CopyOrder order, int threads, Action<int, RadixSort> run, CancellationToken cancellation)
    {
        int count = order.Groups.Count;
        int parts = Math.Min(threads, count);
        ParallelWork.For(parts, threads, part =>
        {
            var sort = new RadixSort();
            for (int group = (int)((long)count * part / parts); group < (int)((long)count * (part + 1) / parts); group++)
            {
                cancellation.ThrowIfCancellationRequested();
                run(group, sort);
            }
        }, cancellation);
    }

    /// <summary>Sums over the groups before each one, and over all.</summary>
    private static int[] Starts(CopyOrder order, Func<MovedCopy, int> count)
    {
        var starts = new int[order.Groups.Count + 1];
        for (int g = 0; g < order.Groups.Count; g++)
        {
            int sum = starts[g];
            foreach (MovedCopy copy in order.Groups[g])
            {
                sum = checked(sum + count(copy));
            }

            starts[g + 1] = sum;
        }

        return starts;
    }

    private static GridPoint[] FirstPoints(ContourSet outlines)
    {
        var points = new GridPoint[outlines.Count];
        for (int i = 0; i < points.Length; i++)
        {
            points[i] = outlines[i][0];
        }

        return points;
    }

    private static int PointCount(ContourSet outlines, in MovedCopy copy)
    {
        int count = 0;
        for (int i = copy.First; i < copy.First + copy.Count; i++)
        {
            count += outlines[i].Length;
        }

        return count;
    }

    /// <summary>Where a trapezoid's left side meets its lower height, x rounded down.</summary>
    private static GridPoint LowerLeft(Trapezoid piece)
    {
        GridPoint lower = piece.Left.Lower, upper = piece.Left.Upper;
        if (piece.Left.IsVertical || lower.Y == piece.YBottom)
        {
            return new GridPoint(lower.X, piece.YBottom);
        }

        long height = (long)upper.Y - lower.Y;
        long numerator = ((long)upper.X - lower.X) * ((long)piece.YBottom - lower.Y);
        long quotient = numerator / height;
        return new GridPoint(lower.X + (int)(quotient * height > numerator ? quotient - 1 : quotient), piece.YBottom);
    }

    private struct PieceWriter(Trapezoid[][] pieces, Trapezoid[] result, int next) : ICopyVisitor
    {
        public void Visit(in MovedCopy copy, int item)
        {
            ref readonly Trapezoid piece = ref pieces[copy.Part][item];
            result[next++] = new Trapezoid(piece.YBottom + copy.Dy, piece.YTop + copy.Dy, copy.Move(piece.Left), copy.Move(piece.Right));
        }
    }

    private struct RingWriter(ContourSet[] outlines, GridPoint[] points, int[] ends, int nextRing, int nextPoint) : ICopyVisitor
    {
        public void Visit(in MovedCopy copy, int item)
        {
            foreach (GridPoint point in outlines[copy.Part][item])
            {
                points[nextPoint++] = copy.Move(point);
            }

            ends[nextRing++] = nextPoint;
        }
    }
}
