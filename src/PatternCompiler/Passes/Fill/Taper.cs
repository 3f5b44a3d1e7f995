namespace PatternCompiler.Passes.Fill;

/// <summary>
/// For one row: how much of the dose on the lower side of a slanted edge falls to each node. Either everything between
/// two nodes is shared linearly between them, or a node takes what lies between it and the next one (a pixel by area).
/// Places along the row are counted in nodes.
/// </summary>
internal sealed class Taper
{
    private readonly bool sharesWithNext;

    // passed[i]: dose of the stretches in which the edge runs between node First + i and the next one; every lower node
    // gets its share of it in full. partly[i]: what node First + i gets of stretches next to it.
    private double[] passed = new double[16];
    private double[] partly = new double[16];
    private int cells;

    /// <param name="sharesWithNext">True to share between nodes, false to take by area.</param>
    public Taper(bool sharesWithNext)
    {
        this.sharesWithNext = sharesWithNext;
    }

    /// <summary>First node that does not get everything.</summary>
    public long First { get; private set; }

    /// <summary>First node that gets nothing.</summary>
    public long Beyond => First + cells + 1;

    /// <summary>Dose of a node below <see cref="First"/>.</summary>
    public double Whole { get; private set; }

    /// <summary>Starts afresh for an edge between two places.</summary>
    public void Begin(double lowest, double highest)
    {
        First = (long)Math.Floor(lowest);
        cells = checked((int)((long)Math.Floor(highest) - First + 1));
        if (cells + 1 > passed.Length)
        {
            passed = new double[Math.Max(cells + 1, 2 * passed.Length)];
            partly = new double[passed.Length];
        }

        Array.Clear(passed, 0, cells + 1);
        Array.Clear(partly, 0, cells + 1);
    }

    /// <summary>Adds a stretch of a straight edge.</summary>
    /// <param name="height">Height of the stretch in rows.</param>
    /// <param name="place0">Place of the edge at its lower end.</param>
    /// <param name="place1">Place of the edge at its upper end.</param>
    /// <param name="weight0">Dose per height at the lower end.</param>
    /// <param name="weight1">Dose per height at the upper end; linear between.</param>
    public void Add(double height, double place0, double place1, double weight0, double weight1)
    {
        if (place1 < place0)
        {
            (place0, place1, weight0, weight1) = (place1, place0, weight1, weight0);
        }

        double run = place1 - place0;
        int cell = Math.Clamp((int)((long)Math.Floor(place0) - First), 0, cells - 1);
        double from = place0;
        while (true)
        {
            double end = First + cell + 1;
            double to = cell == cells - 1 ? place1 : Math.Min(place1, end);
            if (run <= 0)
            {
                AddInCell(cell, height, from, to, weight0, weight1);
                return;
            }

            double part0 = (from - place0) / run;
            double part1 = (to - place0) / run;
            AddInCell(cell, height * (part1 - part0), from, to, weight0 + (weight1 - weight0) * part0, weight0 + (weight1 - weight0) * part1);
            if (to >= place1)
            {
                return;
            }

            from = to;
            cell++;
        }
    }

    /// <summary>Sums up; afterwards <see cref="At"/> can be asked.</summary>
    public void Finish()
    {
        double above = 0;
        for (int i = cells; i >= 0; i--)
        {
            // Node First + i gets in full what happens beyond its own next cell.
            double beyond = above;
            above += passed[i];
            partly[i] += beyond;
        }

        Whole = above;
    }

    /// <summary>Dose of a node.</summary>
    public double At(long node) => node < First ? Whole : node >= Beyond ? 0 : partly[node - First];

    private void AddInCell(int cell, double height, double place0, double place1, double weight0, double weight1)
    {
        double x0 = place0 - (First + cell);
        double x1 = place1 - (First + cell);
        double xm = (x0 + x1) / 2;
        double mean = (weight0 + weight1) / 2;
        passed[cell] += height * mean;

        // Cubic integrands at most: Simpson's rule is exact.
        if (!sharesWithNext)
        {
            partly[cell] += height / 6 * (weight0 * x0 + 4 * mean * xm + weight1 * x1);
            return;
        }

        // Up to a place x beyond a node, the tent of the node holds 1/2 + x − x²/2, and that of the next node x²/2.
        partly[cell] += height / 6 * (weight0 * Own(x0) + 4 * mean * Own(xm) + weight1 * Own(x1));
        partly[cell + 1] += height / 6 * (weight0 * x0 * x0 + 4 * mean * xm * xm + weight1 * x1 * x1) / 2;

        static double Own(double x) => 0.5 + x - x * x / 2;
    }
}
