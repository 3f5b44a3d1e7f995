namespace PatternCompiler.Passes.Fill;

/// <summary>Places points along the rows of an area.</summary>
internal sealed class PointPlacer
{
    /// <summary>How many points at either end make the edge: a spot rarely reaches further than two steps.</summary>
    private const int SharedPointsAtEnds = 2;

    private readonly NodeRow nodeRow = new();
    private readonly List<(long Code, double Charge)> onCodes = [];

    /// <summary>Appends the runs of all rows.</summary>
    /// <param name="rows">Rows of even dose, in order.</param>
    /// <param name="axis">Spacing of the points.</param>
    /// <param name="pointCharge">Charge of a regular point.</param>
    /// <param name="smallest">Smallest weight of a point, as part of a regular one; 0 where it does not matter.</param>
    /// <param name="cuts">Where to append.</param>
    public void Append(ReadOnlySpan<RowCut> rows, in AxisPlan axis, double pointCharge, double smallest, CutList cuts)
    {
        double carried = 0;
        foreach (ref readonly RowCut row in rows)
        {
            carried += row.Charge;
            switch (axis.Rule)
            {
                case AxisRule.Centre:
                    AppendCentres(row, axis.Nodes, cuts);
                    break;
                case AxisRule.Shared:
                    carried = AppendShared(row with { Charge = carried }, axis.Nodes, pointCharge, smallest, cuts);
                    break;
                default:
                    // Rows narrower than half a step share a point as soon as they have half the charge of a regular one.
                    // On codes each has its own, so that the centroid stays.
                    double points = Math.Round((row.End - row.Start) / axis.Spacing);
                    points = points < 1 && (axis.Rule == AxisRule.Spread || carried >= pointCharge / 2) ? 1 : points;
                    if (smallest > 0)
                    {
                        points = Math.Min(points, Math.Floor(carried / (pointCharge * smallest) * (1 + 1e-12)));
                    }

                    if (points >= 1)
                    {
                        AppendSpread(row with { Charge = carried }, axis, (int)points, pointCharge * smallest, cuts);
                        carried = 0;
                    }

                    break;
            }
        }
    }

    /// <summary>
    /// Points tile the row evenly. On codes the outermost of them, which make the edge, are each shared between the two
    /// codes around them; further in, rounding averages out.
    /// </summary>
    private void AppendSpread(in RowCut row, in AxisPlan axis, int points, double smallestCharge, CutList cuts)
    {
        double step = (row.End - row.Start) / points;
        double first = row.Start + step / 2;
        double last = row.End - step / 2;
        if (axis.Rule == AxisRule.Free)
        {
            cuts.Add(row.V, Round(first), Round(last), points, row.Charge);
            return;
        }

        PointGrid codes = axis.Codes;
        double charge = row.Charge / points;
        double smallestShare = smallestCharge / charge;
        int inner = points - 2 * SharedPointsAtEnds;
        int atStart = inner > 0 ? SharedPointsAtEnds : points;
        double moment = 0;
        for (int i = 0; i < atStart; i++)
        {
            Share(first + i * step, ref moment);
        }

        FlushCodes(row.V, codes, cuts);
        if (inner > 0)
        {
            cuts.Add(row.V, Round(first + atStart * step), Round(last - atStart * step), inner, charge * inner);
            for (int i = SharedPointsAtEnds - 1; i >= 0; i--)
            {
                Share(last - i * step, ref moment);
            }

            FlushCodes(row.V, codes, cuts);
        }

        void Share(double position, ref double moment)
        {
            double place = (position - codes.Origin) / codes.Step + moment;
            (long code, double share) = CodeShare.Of(place, smallestShare);
            moment = place - code - share;
            AddCode(code, charge * (1 - share));
            AddCode(code + 1, charge * share);
        }
    }

    private void AddCode(long code, double charge)
    {
        if (charge <= 0)
        {
            return;
        }

        int at = onCodes.FindIndex(c => c.Code == code);
        if (at >= 0)
        {
            onCodes[at] = (code, onCodes[at].Charge + charge);
        }
        else
        {
            onCodes.Add((code, charge));
        }
    }

    private void FlushCodes(long v, PointGrid codes, CutList cuts)
    {
        foreach ((long code, double charge) in onCodes)
        {
            long u = codes.PositionOf(code);
            cuts.Add(v, u, u, 1, charge);
        }

        onCodes.Clear();
    }

    /// <summary>Everything between two nodes is shared linearly between them.</summary>
    /// <returns>Charge that no point was large enough to take.</returns>
    private double AppendShared(in RowCut row, PointGrid nodes, double pointCharge, double smallest, CutList cuts)
    {
        double start = (row.Start - nodes.Origin) / nodes.Step;
        double end = (row.End - nodes.Origin) / nodes.Step;
        if (!(end > start))
        {
            return row.Charge;
        }

        double weight = row.Charge / pointCharge / (end - start);
        long first = (long)Math.Floor(start);
        long beyond = (long)Math.Floor(end) + 2;
        long runStart = first + 2;
        long runEnd = beyond - 2;
        nodeRow.Begin(first);
        for (long node = first; node < beyond; node++)
        {
            if (node == runStart && runEnd > runStart)
            {
                nodeRow.AddRun(runEnd - runStart, weight);
                node = runEnd;
            }

            nodeRow.Add(weight * (RowKernel.Ramp(end - node) - RowKernel.Ramp(start - node)));
        }

        nodeRow.ThinOut(smallest);
        double left = nodeRow.FoldSmall(smallest);
        nodeRow.AppendTo(cuts, row.V, nodes, pointCharge);
        return left * pointCharge;
    }

    private static void AppendCentres(in RowCut row, PointGrid nodes, CutList cuts)
    {
        long first = nodes.FirstFrom((long)Math.Ceiling(row.Start));
        long beyond = nodes.FirstFrom((long)Math.Ceiling(row.End));
        if (beyond > first)
        {
            double charge = row.Charge / (row.End - row.Start) * nodes.Step * (beyond - first);
            cuts.Add(row.V, nodes.PositionOf(first), nodes.PositionOf(beyond - 1), checked((int)(beyond - first)), charge);
        }
    }

    private static long Round(double femtometres) => (long)Math.Floor(femtometres + 0.5);
}

/// <summary>Shares the dose of a place between the two codes around it, so that charge and centroid stay.</summary>
internal static class CodeShare
{
    /// <summary>The lower code, and the part of the dose that goes to the next one.</summary>
    /// <param name="place">The place, counted in codes.</param>
    /// <param name="smallest">A smaller part than this (but 0) is not possible: the nearer code then gets everything.</param>
    public static (long Code, double Share) Of(double place, double smallest)
    {
        long code = (long)Math.Floor(place);
        double share = place - code;
        return Math.Min(share, 1 - share) >= Math.Min(smallest, 0.5) ? (code, share) : (code, share < 0.5 ? 0 : 1);
    }
}
