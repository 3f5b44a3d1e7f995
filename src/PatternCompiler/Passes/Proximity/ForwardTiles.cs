using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Forward energy where small figures stand so close that what each gives to each would be many numbers: tile by tile on a grid,
/// computed anew for every set of doses. Small figures, at most two forward ranges wide and high, belong to the tile of their
/// middle; a tile is dense from one of them to four square ranges on. Energies at points of a dense tile's figures from all small
/// figures are computed here, all others by <see cref="ForwardCoupling"/>. They are right to 3·10⁻⁴ of the energy of a
/// large area of the largest dose nearby.
/// </summary>
internal sealed class ForwardTiles
{
    /// <summary>Largest error of an energy, over that of a large area of the largest dose nearby.</summary>
    public const double LargestError = 3e-4;

    private const double SideInRanges = 64;
    private const double LargestSideInRanges = 256;
    private const double SmallInRanges = 2;
    private const double DenseBySquareRange = 0.25;
    private const int LargestTilesAcross = 4096;

    private readonly IReadOnlyList<Figure> figures;
    private readonly (double Line, double Dot) chargeOf;
    private readonly double range;
    private readonly double side;
    private readonly double xLow;
    private readonly double yLow;
    private readonly int columns;
    private readonly int rows;
    private readonly int[] starts = [];
    private readonly int[] members = [];
    private readonly bool[] areDense = [];
    private readonly bool[] isInDense = [];
    private readonly int[] dense = [];
    private readonly int[] reached = [];
    private readonly int[][] felt = [];

    /// <summary>Finds the dense tiles.</summary>
    /// <param name="figures">The figures.</param>
    /// <param name="range">1/e radius of the forward Gaussian, in grid steps.</param>
    /// <param name="chargeOf">Charge of a line per grid step and of a dot, as area of dose 1 in square grid steps.</param>
    public ForwardTiles(IReadOnlyList<Figure> figures, double range, (double Line, double Dot) chargeOf)
    {
        this.figures = figures;
        this.range = range;
        this.chargeOf = chargeOf;
        FigureBox all = FigureBox.Around(figures);
        double width = Math.Max(all.Width, all.Height);
        side = Math.Max(SideInRanges * range, width / LargestTilesAcross);
        double least = DenseBySquareRange * side * side / (range * range);
        if (side > LargestSideInRanges * range || figures.Count < least)
        {
            return;
        }

        (xLow, yLow) = (all.XLow, all.YLow);
        columns = (int)(all.Width / side) + 1;
        rows = (int)(all.Height / side) + 1;
        (starts, members) = Sort();
        areDense = new bool[columns * rows];
        isInDense = new bool[figures.Count];
        for (int tile = 0; tile < areDense.Length; tile++)
        {
            areDense[tile] = starts[tile + 1] - starts[tile] >= least;
            for (int k = starts[tile]; areDense[tile] && k < starts[tile + 1]; k++)
            {
                isInDense[members[k]] = true;
            }
        }

        dense = [.. Enumerable.Range(0, areDense.Length).Where(tile => areDense[tile])];
        reached = [.. Enumerable.Range(0, areDense.Length).Where(tile => starts[tile + 1] > starts[tile] && Around(tile).Any(t => areDense[t]))];
        felt = new int[areDense.Length][];
        Parallel.ForEach(reached, tile => felt[tile] = FeltIn(tile));
    }

    /// <summary>True if there is any dense tile.</summary>
    public bool IsAnyDense => dense.Length > 0;

    /// <summary>True if a figure's points take what small figures give from here.</summary>
    public bool IsInDense(int figure) => IsAnyDense && isInDense[figure];

    /// <summary>True if what a figure gives to points in dense tiles is counted here.</summary>
    public bool IsSmall(in FigureBox box) => Math.Max(box.Width, box.Height) <= SmallInRanges * range;

    /// <summary>Computes the energy that small figures give to all points in dense tiles.</summary>
    /// <param name="doses">Dose of each figure, 1 for all if null.</param>
    /// <param name="points">Where.</param>
    /// <param name="take">
    /// Takes, on any thread, a figure, its points and the energy at each; of points that are held to their own figure it means nothing.
    /// </param>
    /// <param name="cancellation">Ends it early.</param>
    public void ComputeEnergies(double[]? doses, FigurePoints points, TakeEnergies take, CancellationToken cancellation) =>
        ForTiles(dense, (tile, grid) =>
        {
            foreach (int figure in felt[tile])
            {
                double dose = doses is null ? 1 : doses[figure];
                if (dose > 0)
                {
                    grid.Give(figures[figure], dose, chargeOf);
                }
            }

            grid.Spread();
            Span<ControlPoint> places = stackalloc ControlPoint[ControlPoints.Most];
            Span<double> energies = stackalloc double[ControlPoints.Most];
            for (int k = starts[tile]; k < starts[tile + 1]; k++)
            {
                int count = points.Of(members[k], places);
                for (int i = 0; i < count; i++)
                {
                    energies[i] = places[i].OwnForward > 0 ? 0 : grid.At(places[i].X, places[i].Y);
                }

                take(members[k], places[..count], energies[..count]);
            }
        }, cancellation);

    /// <summary>
    /// Adds to every small figure the sum of some value over all points in dense tiles, weighted by the part of the figure's forward
    /// energy that reaches them and by the points' lengths.
    /// </summary>
    /// <param name="valueOf">Value of the points of a figure.</param>
    /// <param name="points">The points.</param>
    /// <param name="sums">Added to.</param>
    /// <param name="cancellation">Ends it early.</param>
    public void Distribute(Func<int, double> valueOf, FigurePoints points, double[] sums, CancellationToken cancellation) =>
        ForTiles(reached, (tile, grid) =>
        {
            Span<ControlPoint> places = stackalloc ControlPoint[ControlPoints.Most];
            foreach (int figure in felt[tile])
            {
                if (!isInDense[figure])
                {
                    continue;
                }

                double value = valueOf(figure);
                int count = points.Of(figure, places);
                for (int i = 0; i < count; i++)
                {
                    if (places[i].OwnForward == 0)
                    {
                        grid.Give(places[i].X, places[i].Y, value * places[i].Length);
                    }
                }
            }

            grid.Spread();
            for (int k = starts[tile]; k < starts[tile + 1]; k++)
            {
                sums[members[k]] += grid.Under(figures[members[k]], chargeOf);
            }
        }, cancellation);

    private void ForTiles(int[] tiles, Action<int, ForwardGrid> action, CancellationToken cancellation) => Parallel.For(
        0,
        tiles.Length,
        new ParallelOptions { CancellationToken = cancellation },
        () => new ForwardGrid(range, side, SmallInRanges / 2 * range),
        (i, _, grid) =>
        {
            grid.Begin(xLow + tiles[i] % columns * side, yLow + tiles[i] / columns * side);
            action(tiles[i], grid);
            return grid;
        },
        _ => { });

    private (int[] Starts, int[] Members) Sort()
    {
        var ends = new int[columns * rows + 1];
        for (int figure = 0; figure < figures.Count; figure++)
        {
            FigureBox box = FigureBox.Of(figures[figure]);
            ends[IsSmall(box) ? TileOf(box) + 1 : 0]++;
        }

        ends[0] = 0;
        for (int tile = 1; tile < ends.Length; tile++)
        {
            ends[tile] += ends[tile - 1];
        }

        var sorted = new int[ends[^1]];
        int[] next = ends[..^1];
        for (int figure = 0; figure < figures.Count; figure++)
        {
            FigureBox box = FigureBox.Of(figures[figure]);
            if (IsSmall(box))
            {
                sorted[next[TileOf(box)]++] = figure;
            }
        }

        return (ends, sorted);
    }

    private int TileOf(in FigureBox box) =>
        (int)(((box.YLow + box.YHigh) / 2 - yLow) / side) * columns + (int)(((box.XLow + box.XHigh) / 2 - xLow) / side);

    // The tile and its neighbours, row by row.
    private IEnumerable<int> Around(int tile)
    {
        (int row, int column) = (tile / columns, tile % columns);
        for (int j = Math.Max(0, row - 1); j <= Math.Min(rows - 1, row + 1); j++)
        {
            for (int i = Math.Max(0, column - 1); i <= Math.Min(columns - 1, column + 1); i++)
            {
                yield return j * columns + i;
            }
        }
    }

    // Members of a tile and, of those of its neighbours, the ones that its figures feel.
    private int[] FeltIn(int tile)
    {
        // From the outermost point to the middle of the outermost figure, with the nodes between.
        double reach = (GaussianEnergy.Reach + SmallInRanges + 2) * range;
        double left = xLow + tile % columns * side - reach;
        double bottom = yLow + tile / columns * side - reach;
        var felt = new List<int>(2 * (starts[tile + 1] - starts[tile]));
        foreach (int near in Around(tile))
        {
            foreach (int figure in members.AsSpan(starts[near], starts[near + 1] - starts[near]))
            {
                FigureBox box = FigureBox.Of(figures[figure]);
                double x = (box.XLow + box.XHigh) / 2;
                double y = (box.YLow + box.YHigh) / 2;
                if (near == tile || (x >= left && x <= left + side + 2 * reach && y >= bottom && y <= bottom + side + 2 * reach))
                {
                    felt.Add(figure);
                }
            }
        }

        return [.. felt];
    }
}

/// <summary>Takes the energies at the points of a figure.</summary>
internal delegate void TakeEnergies(int figure, ReadOnlySpan<ControlPoint> points, ReadOnlySpan<double> energies);
