namespace PatternCompiler.Passes.Route;

/// <summary>
/// Finds a way from cell to cell with little harm (A*: P. E. Hart, N. J. Nilsson and B. Raphael, IEEE Trans. Syst. Sci.
/// Cybern. 4, 100 (1968)): over exposed areas, on detours around the pattern, and over bare areas only where there is no
/// other way. Steps go straight or at 45°, as a deflection whose axes move at one speed does.
/// </summary>
internal sealed class RouteSearch
{
    private const int Straight = 10;
    private const int Slanted = 14;
    private const int InsideArea = 1;
    private const int EdgeOfArea = 3;
    private const int Detour = 2;
    private const int BareArea = 12;
    private const int PrintingDetour = 60;
    private const int PrintingArea = 3000;
    private static readonly (int X, int Y)[] Steps = [(1, 0), (0, 1), (-1, 0), (0, -1), (1, 1), (-1, 1), (-1, -1), (1, -1)];
    private readonly RouteArea area;
    private readonly int[] cost;
    private readonly byte[] cameFrom;
    private readonly int[] round;
    private readonly bool[] isDone;
    private readonly PriorityQueue<int, (long, int)> open = new();
    private int rounds;

    public RouteSearch(RouteArea area)
    {
        this.area = area;
        int cells = area.Columns * area.Rows;
        cost = new int[cells];
        cameFrom = new byte[cells];
        round = new int[cells];
        isDone = new bool[cells];
    }

    /// <summary>Cells looked at so far.</summary>
    public long Looks { get; private set; }

    /// <summary>Cells where the way bends, first and last included; empty if the ends lie beyond the margin or the limit is reached.</summary>
    /// <param name="from">First cell.</param>
    /// <param name="to">Last cell.</param>
    /// <param name="dose">Dose of the track at speed.</param>
    /// <param name="mostLooks">Limit of cells looked at.</param>
    public List<int> Find(int from, int to, double dose, long mostLooks)
    {
        if (from < 0 || to < 0)
        {
            return [];
        }

        rounds++;
        open.Clear();
        Reach(from, 0, 0);
        open.Enqueue(from, (0, from));
        long looks = 0;
        while (open.TryDequeue(out int cell, out _))
        {
            if (cell == to)
            {
                return Trace(from, to);
            }

            if (isDone[cell])
            {
                continue;
            }

            isDone[cell] = true;
            Looks++;
            if (++looks > mostLooks)
            {
                break;
            }

            Expand(cell, to, dose);
        }

        return [];
    }

    private void Expand(int cell, int to, double dose)
    {
        int column = cell % area.Columns;
        int row = cell / area.Columns;
        for (byte direction = 0; direction < Steps.Length; direction++)
        {
            (int dx, int dy) = Steps[direction];
            if ((uint)(column + dx) >= (uint)area.Columns || (uint)(row + dy) >= (uint)area.Rows)
            {
                continue;
            }

            int next = cell + dy * area.Columns + dx;

            // A bend costs as much as a short way: fewer jumps.
            int bend = cost[cell] == 0 || cameFrom[cell] == direction ? 0 : Straight / 2;
            int price = cost[cell] + PriceOf(next, dose) * (direction < 4 ? Straight : Slanted) + bend;
            if (round[next] != rounds || (!isDone[next] && price < cost[next]))
            {
                Reach(next, price, direction);
                open.Enqueue(next, (price + Remaining(next, to), next));
            }
        }
    }

    private void Reach(int cell, int price, byte direction)
    {
        if (round[cell] != rounds)
        {
            (round[cell], isDone[cell]) = (rounds, false);
        }

        (cost[cell], cameFrom[cell]) = (price, direction);
    }

    private int PriceOf(int cell, double dose)
    {
        if (area.IsExposed(cell))
        {
            return IsAtEdge(cell) ? EdgeOfArea : InsideArea;
        }

        (double x, double y) = area.PlaceOf(cell);
        bool isOutside = area.IsOutside(x, y);
        return area.ComesClose(cell, dose)
            ? isOutside ? PrintingDetour : PrintingArea
            : isOutside ? Detour : BareArea;
    }

    private bool IsAtEdge(int cell)
    {
        int column = cell % area.Columns;
        return column == 0 || column == area.Columns - 1 || !area.IsExposed(cell - 1) || !area.IsExposed(cell + 1)
            || cell < area.Columns || cell >= area.Columns * (area.Rows - 1)
            || !area.IsExposed(cell - area.Columns) || !area.IsExposed(cell + area.Columns);
    }

    // Octile distance at the lowest price: never more than what is left to pay.
    private long Remaining(int cell, int to)
    {
        int dx = Math.Abs(cell % area.Columns - to % area.Columns);
        int dy = Math.Abs(cell / area.Columns - to / area.Columns);
        return InsideArea * (Straight * (long)Math.Max(dx, dy) + (Slanted - Straight) * Math.Min(dx, dy));
    }

    private List<int> Trace(int from, int to)
    {
        var bends = new List<int> { to };
        int cell = to;
        while (cell != from)
        {
            byte direction = cameFrom[cell];
            (int dx, int dy) = Steps[direction];
            int before = cell - dy * area.Columns - dx;
            if (before != from && cameFrom[before] != direction)
            {
                bends.Add(before);
            }

            cell = before;
        }

        bends.Add(from);
        bends.Reverse();
        return bends;
    }
}
