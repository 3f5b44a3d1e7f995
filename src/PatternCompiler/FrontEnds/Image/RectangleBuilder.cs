using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Image;

/// <summary>
/// Gathers rows of levels into rectangles: a run of equal pixels grows downward as long as the next row has the same run.
/// Edges between pixels are rounded to the grid once, so that neighbours share them exactly.
/// </summary>
internal sealed class RectangleBuilder(int height, double pixelSteps, int levels, bool keepsZero, PlaceId place)
{
    private readonly ImmutableArray<Shape>.Builder shapes = ImmutableArray.CreateBuilder<Shape>();
    private List<PixelRun> open = [];
    private List<PixelRun> next = [];
    private int row;

    /// <summary>Rectangles finished so far.</summary>
    public int Count => shapes.Count;

    /// <summary>Adds the next row, from the top.</summary>
    public void AddRow(ReadOnlySpan<byte> levelsOfRow)
    {
        next.Clear();
        int matched = 0;
        for (int start = 0; start < levelsOfRow.Length;)
        {
            byte level = levelsOfRow[start];
            int length = levelsOfRow[start..].IndexOfAnyExcept(level);
            int end = length < 0 ? levelsOfRow.Length : start + length;
            if (level > 0)
            {
                matched = CloseBefore(start, matched);
                bool goesOn = matched < open.Count && open[matched].Start == start && open[matched].End == end && open[matched].Level == level;
                next.Add(goesOn ? open[matched] : new PixelRun(start, end, level, row));
                matched += goesOn ? 1 : 0;
            }

            start = end;
        }

        CloseBefore(int.MaxValue, matched);
        (open, next) = (next, open);
        row++;
    }

    /// <summary>Ends all runs and gives the rectangles.</summary>
    public ImmutableArray<Shape> Finish()
    {
        CloseBefore(int.MaxValue, 0);
        open.Clear();
        return shapes.DrainToImmutable();
    }

    /// <summary>Closes open runs up to a column, leaving the one that starts right there; gives the index of the next open run.</summary>
    private int CloseBefore(int column, int index)
    {
        while (index < open.Count && open[index].Start < column)
        {
            Close(open[index++]);
        }

        return index;
    }

    private void Close(PixelRun run) => shapes.Add(new RectangleShape(
        0,
        new DoseFactor((int)(((2L * (keepsZero ? run.Level - 1 : run.Level) * 1_000_000) + levels) / (2 * levels))),
        ToGrid(run.Start),
        ToGrid(height - row),
        ToGrid(run.End),
        ToGrid(height - run.TopRow)) { Place = place });

    private int ToGrid(int pixels) => (int)Math.Round(pixels * pixelSteps, MidpointRounding.AwayFromZero);
}

/// <summary>Neighbouring pixels of one level in a row, and the row where such a run began.</summary>
/// <param name="Start">First column.</param>
/// <param name="End">Column after the last.</param>
/// <param name="Level">Dose level, 1 or more.</param>
/// <param name="TopRow">First row, counted from the top, in which this very run stands.</param>
internal readonly record struct PixelRun(int Start, int End, byte Level, int TopRow);
