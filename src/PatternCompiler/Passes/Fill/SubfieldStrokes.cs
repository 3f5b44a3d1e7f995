using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Order;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Puts the strokes of a figure that reaches over several sub-fields of composite converters into the order of the sub-fields:
/// the coarse converters, which are slow, move once for each of them and not for every line. Strokes are cut between two
/// points where they cross an edge; no point moves and no charge is lost.
/// </summary>
internal sealed class SubfieldStrokes(SubfieldGrid grid)
{
    private readonly Dictionary<(long Row, long Column), List<(Stroke Stroke, bool StartsRow)>> cells = [];

    /// <summary>Strokes of each sub-field, row by row, every other row backwards.</summary>
    public IEnumerable<List<(Stroke Stroke, bool StartsRow)>> InOrder => cells
        .OrderBy(cell => cell.Key.Row)
        .ThenBy(cell => (cell.Key.Row & 1) == 0 ? cell.Key.Column : -cell.Key.Column)
        .Select(cell => cell.Value);

    /// <summary>Forgets the figure before.</summary>
    public void Clear() => cells.Clear();

    /// <summary>Adds a line or a dot.</summary>
    /// <param name="stroke">The stroke.</param>
    /// <param name="startsRow">It begins a row of the fill; its parts do, too.</param>
    public void Add(in Stroke stroke, bool startsRow)
    {
        int first = 0;
        (long, long) here = CellOf(stroke, 0);
        while (first < stroke.Points)
        {
            int end = LastOf(stroke, first, here) + 1;
            if (!cells.TryGetValue(here, out List<(Stroke, bool)>? cell))
            {
                cells.Add(here, cell = []);
            }

            cell.Add((Part(stroke, first, end), startsRow));
            first = end;
            here = end < stroke.Points ? CellOf(stroke, end) : here;
        }
    }

    /// <summary>The last point from <paramref name="first"/> on that lies in a cell: a straight line leaves it for good.</summary>
    private int LastOf(in Stroke stroke, int first, (long, long) cell)
    {
        int inside = first, beyond = stroke.Points;
        while (beyond - inside > 1)
        {
            int middle = inside + ((beyond - inside) / 2);
            (inside, beyond) = CellOf(stroke, middle) == cell ? (middle, beyond) : (inside, middle);
        }

        return inside;
    }

    private (long, long) CellOf(in Stroke stroke, int point)
    {
        (long x, long y) = PlaceOf(stroke, point);
        return grid.At(x, y);
    }

    private static Stroke Part(in Stroke stroke, int first, int end)
    {
        if (first == 0 && end == stroke.Points)
        {
            return stroke;
        }

        (long x0, long y0) = PlaceOf(stroke, first);
        (long x1, long y1) = PlaceOf(stroke, end - 1);
        long charge = ShareOf(stroke, end) - ShareOf(stroke, first);
        return end - first == 1 ? Stroke.Dot(stroke.Figure, x0, y0, charge) : Stroke.Line(stroke.Figure, x0, y0, x1, y1, end - first, charge);
    }

    /// <summary>Charge of the first points, so that all parts together have exactly the whole.</summary>
    private static long ShareOf(in Stroke stroke, int points) => (long)((Int128)stroke.ChargeZeptocoulombs * points / stroke.Points);

    private static (long X, long Y) PlaceOf(in Stroke stroke, int point) => stroke.Points == 1
        ? (stroke.XFemtometres, stroke.YFemtometres)
        : (Between(stroke.XFemtometres, stroke.EndXFemtometres, point, stroke.Points - 1), Between(stroke.YFemtometres, stroke.EndYFemtometres, point, stroke.Points - 1));

    /// <summary>The nearest femtometre, halves towards the start, whichever way the line runs.</summary>
    private static long Between(long start, long end, int part, int parts)
    {
        Int128 twice = 2 * (Int128)(end - start) * part;
        Int128 rounded = (Int128.Abs(twice) + parts - 1) / (2 * (Int128)parts);
        return start + (long)(twice < 0 ? -rounded : rounded);
    }
}
