using PatternCompiler.Model;

namespace PatternCompiler.Passes.Scale;

/// <summary>
/// Rounds dwells to whole clock ticks and carries the remainder from stroke to stroke of the same figure, so that a
/// figure's total is right to half a tick however many strokes and passes it has, and however often it is left and taken
/// up again (a raster row crosses many).
/// </summary>
internal sealed class TickCarry
{
    private readonly FigureValues remainders = new();

    /// <summary>Whole ticks for the next stroke of a figure.</summary>
    /// <param name="figure">Number of the figure, 0 or more.</param>
    /// <param name="exactTicks">Ticks that the stroke's charge asks for.</param>
    public long Round(int figure, double exactTicks)
    {
        ref double remainder = ref remainders[figure];
        double due = exactTicks + remainder;

        // A remainder is at most half a tick, so a stroke without charge never comes out below zero.
        double ticks = Math.Floor(due + 0.5);
        remainder = due - ticks;
        return (long)ticks;
    }
}
