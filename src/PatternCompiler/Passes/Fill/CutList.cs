using System.Runtime.InteropServices;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// The runs of one area, line after line. Charges come in as real numbers; the running total is rounded, not each run's
/// own charge, so that the whole comes out exact.
/// </summary>
internal sealed class CutList
{
    private readonly List<LineCut> cuts = [];
    private double due;
    private long given;

    public int Count => cuts.Count;

    public ReadOnlySpan<LineCut> Cuts => CollectionsMarshal.AsSpan(cuts);

    public void Clear()
    {
        cuts.Clear();
        due = 0;
        given = 0;
    }

    /// <summary>Adds a run; one that rounds to no charge at all waits for the next.</summary>
    public void Add(long v, long first, long last, int points, double charge)
    {
        due += charge;
        long whole = (long)Math.Floor(due + 0.5) - given;
        if (whole > 0)
        {
            given += whole;
            cuts.Add(new(v, first, last, points, whole));
        }
    }

    /// <summary>Gives the last run what is missing to the asked total.</summary>
    public void Complete(long total)
    {
        if (cuts.Count > 0)
        {
            LineCut last = cuts[^1];
            cuts[^1] = last with { Charge = Math.Max(0, last.Charge + total - given) };
        }
    }
}

/// <summary>One line of an area: evenly spaced points and the charge of all of them.</summary>
/// <param name="V">Position across the lines, in femtometres.</param>
/// <param name="First">First point along the line.</param>
/// <param name="Last">Last point along the line; not below the first.</param>
/// <param name="Points">Number of points, 1 or more.</param>
/// <param name="Charge">Charge in zeptocoulombs.</param>
internal readonly record struct LineCut(long V, long First, long Last, int Points, long Charge);
