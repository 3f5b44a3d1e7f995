namespace PatternCompiler.Passes.Scale;

/// <summary>
/// Rounds dwells to whole clock ticks and carries the remainder from stroke to stroke of the same figure, so that a
/// figure's total is right to half a tick however many strokes it has. A figure may be left and taken up again (a raster
/// row crosses many): remainders stay in a table of fixed size. When two figures fall on one slot the older one starts
/// afresh, at the price of another half tick at most.
/// </summary>
internal sealed class TickCarry
{
    private const int Slots = 1 << 14;

    private readonly int[] figures = new int[Slots];
    private readonly double[] remainders = new double[Slots];

    /// <summary>Whole ticks for the next stroke of a figure.</summary>
    /// <param name="figure">Number of the figure, 0 or more.</param>
    /// <param name="exactTicks">Ticks that the stroke's charge asks for.</param>
    public long Round(int figure, double exactTicks)
    {
        int slot = figure & (Slots - 1);
        double due = exactTicks;
        if (figures[slot] == figure)
        {
            due += remainders[slot];
        }
        else
        {
            figures[slot] = figure;
        }

        // A remainder is at most half a tick, so a stroke without charge never comes out below zero.
        double ticks = Math.Floor(due + 0.5);
        remainders[slot] = due - ticks;
        return (long)ticks;
    }
}
