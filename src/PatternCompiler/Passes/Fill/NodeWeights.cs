namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Writes an area on a lattice of codes in both directions: the dose of every place is shared linearly between the four
/// nodes around it. The area's charge and centroid are kept exactly, and slanted edges come out as smooth as straight ones.
/// </summary>
internal sealed class NodeWeights
{
    private readonly List<RowKernel> kernels = [];
    private readonly Taper starts = new(sharesWithNext: true);
    private readonly Taper ends = new(sharesWithNext: true);
    private readonly NodeRow row = new();

    /// <summary>Appends the runs of an area.</summary>
    /// <param name="shape">The area.</param>
    /// <param name="rows">Lattice across the lines.</param>
    /// <param name="columns">Lattice along the lines.</param>
    /// <param name="density">Charge per area.</param>
    /// <param name="smallest">Smallest weight of a point, as part of a regular one.</param>
    /// <param name="cuts">Where to append.</param>
    public void Append(in AreaShape shape, PointGrid rows, PointGrid columns, double density, double smallest, CutList cuts)
    {
        Span<double> corners = stackalloc double[4];
        corners = corners[..shape.Corners(corners)];
        double pointCharge = density * rows.Step * columns.Step;
        double left = 0;
        RowKernel.Collect((shape.Low - rows.Origin) / rows.Step, (shape.High - rows.Origin) / rows.Step, smallest, kernels);
        foreach (RowKernel kernel in kernels)
        {
            if (!Weigh(shape, corners, kernel, rows, columns))
            {
                continue;
            }

            long v = rows.PositionOf(kernel.Row);
            row.ThinOut(smallest);
            left += row.FoldSmall(smallest);
            if (left > 0)
            {
                // What one row could not place goes to the next that can.
                left = row.TryAdd(left) ? 0 : left;
            }

            row.AppendTo(cuts, v, columns, pointCharge);
        }
    }

    /// <summary>Fills <see cref="row"/>; false if nothing of the area falls to it.</summary>
    private bool Weigh(in AreaShape shape, ReadOnlySpan<double> corners, in RowKernel kernel, PointGrid rows, PointGrid columns)
    {
        double low = rows.Origin + kernel.FirstCell * rows.Step;
        double high = rows.Origin + (kernel.LastCell + 1) * rows.Step;
        (double firstStart, double lastStart, double firstEnd, double lastEnd) =
            (double.PositiveInfinity, double.NegativeInfinity, double.PositiveInfinity, double.NegativeInfinity);
        foreach (ShapePiece piece in new ShapePieces(shape, corners, low, high))
        {
            firstStart = Math.Min(firstStart, Math.Min(piece.Start0, piece.Start1));
            lastStart = Math.Max(lastStart, Math.Max(piece.Start0, piece.Start1));
            firstEnd = Math.Min(firstEnd, Math.Min(piece.End0, piece.End1));
            lastEnd = Math.Max(lastEnd, Math.Max(piece.End0, piece.End1));
        }

        if (double.IsInfinity(firstStart))
        {
            return false;
        }

        starts.Begin((firstStart - columns.Origin) / columns.Step, (lastStart - columns.Origin) / columns.Step);
        ends.Begin((firstEnd - columns.Origin) / columns.Step, (lastEnd - columns.Origin) / columns.Step);
        for (long cell = kernel.FirstCell; cell <= kernel.LastCell; cell++)
        {
            double from = rows.Origin + cell * rows.Step;
            double weight0 = kernel.At(cell);
            double slope = (kernel.At(cell + 1) - weight0) / rows.Step;
            foreach (ShapePiece piece in new ShapePieces(shape, corners, from, from + rows.Step))
            {
                double height = (piece.V1 - piece.V0) / rows.Step;
                double lower = weight0 + slope * (piece.V0 - from);
                double upper = weight0 + slope * (piece.V1 - from);
                starts.Add(height, (piece.Start0 - columns.Origin) / columns.Step, (piece.Start1 - columns.Origin) / columns.Step, lower, upper);
                ends.Add(height, (piece.End0 - columns.Origin) / columns.Step, (piece.End1 - columns.Origin) / columns.Step, lower, upper);
            }
        }

        starts.Finish();
        ends.Finish();
        row.Begin(starts.First);
        long node = starts.First;
        for (; node < starts.Beyond; node++)
        {
            row.Add(ends.At(node) - starts.At(node));
        }

        if (ends.First > node)
        {
            row.AddRun(ends.First - node, ends.Whole);
            node = ends.First;
        }

        for (; node < ends.Beyond; node++)
        {
            row.Add(ends.At(node) - starts.At(node));
        }

        return true;
    }
}
