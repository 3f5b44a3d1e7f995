using System.Collections.Concurrent;
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
    private const int Directions = 9;

    private readonly IReadOnlyList<Figure> figures;
    private readonly (double Line, double Dot) chargeOf;
    private readonly double range;
    private readonly double side;
    private readonly double pitch;
    private readonly int nodesAcross;
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
    private readonly int[][][] rims = [];
    private readonly int[] everyone = [];
    private readonly TilePoints?[] places = [];
    private readonly double largestMember;
    private readonly ConcurrentBag<ForwardGrid> idle = [];

    /// <summary>Finds the dense tiles.</summary>
    /// <param name="figures">The figures.</param>
    /// <param name="points">Their control points.</param>
    /// <param name="range">1/e radius of the forward Gaussian, in grid steps.</param>
    /// <param name="chargeOf">Charge of a line per grid step and of a dot, as area of dose 1 in square grid steps.</param>
    public ForwardTiles(IReadOnlyList<Figure> figures, FigurePoints points, double range, (double Line, double Dot) chargeOf)
    {
        this.figures = figures;
        this.range = range;
        this.chargeOf = chargeOf;
        FigureBox all = FigureBox.Around(figures);
        double width = Math.Max(all.Width, all.Height);

        // A whole number of nodes: figures and points lie between them in the same way, whichever tile they are seen from.
        pitch = range / ForwardGrid.NodesPerRange;
        nodesAcross = (int)Math.Ceiling(Math.Max(SideInRanges * ForwardGrid.NodesPerRange, width / LargestTilesAcross / pitch));
        side = nodesAcross * pitch;
        double least = DenseBySquareRange * side * side / (range * range);
        if (side > LargestSideInRanges * range || figures.Count < least)
        {
            return;
        }

        (xLow, yLow) = (all.XLow, all.YLow);
        columns = (int)(all.Width / side) + 1;
        rows = (int)(all.Height / side) + 1;
        (starts, members, largestMember) = Sort();
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
        if (dense.Length == 0)
        {
            members = [];
            return;
        }

        reached = [.. Enumerable.Range(0, areDense.Length).Where(tile => starts[tile + 1] > starts[tile] && Around(tile).Any(t => areDense[t]))];
        everyone = [.. Enumerable.Range(0, Enumerable.Range(0, areDense.Length).Max(tile => starts[tile + 1] - starts[tile]))];
        rims = new int[areDense.Length][][];
        Parallel.For(0, rims.Length, tile => rims[tile] = RimsOf(tile));
        places = new TilePoints?[areDense.Length];
        Parallel.ForEach(
            dense,
            () => new List<NodePoint>(),
            (tile, _, found) =>
            {
                places[tile] = PlacesIn(tile, points, found);
                return found;
            },
            _ => { });
    }

    /// <summary>True if there is any dense tile.</summary>
    public bool IsAnyDense => dense.Length > 0;

    /// <summary>True if a figure's points take what small figures give from here.</summary>
    public bool IsInDense(int figure) => IsAnyDense && isInDense[figure];

    /// <summary>True if what a figure gives to points in dense tiles is counted here.</summary>
    public bool IsSmall(in FigureBox box) => Math.Max(box.Width, box.Height) <= SmallInRanges * range;

    /// <summary>Lets points in dense tiles be held to their own figure alone: they take and give nothing from then on.</summary>
    /// <param name="isHeld">Asked on any thread for a figure, the number of its point, and the energy there if all doses are 1.</param>
    /// <param name="cancellation">Ends it early.</param>
    public void HoldPoints(Func<int, int, double, bool> isHeld, CancellationToken cancellation) =>
        ForTiles(dense, (tile, grid) =>
        {
            SpreadDoses(tile, null, grid);
            TilePoints own = places[tile]!;
            for (int k = starts[tile]; k < starts[tile + 1]; k++)
            {
                Span<NodePoint> points = own.Of(k - starts[tile]);
                for (int i = 0; i < points.Length; i++)
                {
                    if (points[i].Weight > 0 && isHeld(members[k], i, grid.At(points[i].U, points[i].V)))
                    {
                        points[i] = points[i] with { Weight = 0 };
                    }
                }
            }
        }, cancellation);

    /// <summary>Computes the mean energy that small figures give to the points of each figure in dense tiles.</summary>
    /// <param name="doses">Dose of each figure.</param>
    /// <param name="energies">Set for figures in dense tiles.</param>
    /// <param name="cancellation">Ends it early.</param>
    public void ComputeEnergies(float[] doses, float[] energies, CancellationToken cancellation) =>
        ForTiles(dense, (tile, grid) =>
        {
            SpreadDoses(tile, doses, grid);
            TilePoints own = places[tile]!;
            for (int k = starts[tile]; k < starts[tile + 1]; k++)
            {
                float sum = 0;
                foreach (NodePoint point in own.Of(k - starts[tile]))
                {
                    sum += point.Weight > 0 ? point.Weight * grid.At(point.U, point.V) : 0;
                }

                energies[members[k]] = sum;
            }
        }, cancellation);

    /// <summary>
    /// Adds to every small figure the sum of some value over all figures in dense tiles, weighted by the part of its forward energy
    /// that reaches their points.
    /// </summary>
    /// <param name="valueOf">Value of the points of a figure, asked on any thread.</param>
    /// <param name="sums">Added to.</param>
    /// <param name="cancellation">Ends it early.</param>
    public void Distribute(Func<int, float> valueOf, float[] sums, CancellationToken cancellation) =>
        ForTiles(reached, (tile, grid) =>
        {
            foreach (int near in Around(tile))
            {
                if (places[near] is not TilePoints given)
                {
                    continue;
                }

                (int u, int v) = ((near % columns - tile % columns) * nodesAcross, (near / columns - tile / columns) * nodesAcross);
                foreach (int member in FeltBy(tile, near))
                {
                    float value = valueOf(members[starts[near] + member]);
                    foreach (NodePoint point in given.Of(member))
                    {
                        if (point.Weight > 0)
                        {
                            grid.Give(u + point.U, v + point.V, value * point.Weight);
                        }
                    }
                }
            }

            grid.Spread();
            for (int k = starts[tile]; k < starts[tile + 1]; k++)
            {
                sums[members[k]] += grid.Under(figures[members[k]], chargeOf);
            }
        }, cancellation);

    // Doses of 1 if null.
    private void SpreadDoses(int tile, float[]? doses, ForwardGrid grid)
    {
        foreach (int near in Around(tile))
        {
            foreach (int member in FeltBy(tile, near))
            {
                int figure = members[starts[near] + member];
                float dose = doses is null ? 1 : doses[figure];
                if (dose > 0)
                {
                    grid.Give(figures[figure], dose, chargeOf);
                }
            }
        }

        grid.Spread();
    }

    private void ForTiles(int[] tiles, Action<int, ForwardGrid> action, CancellationToken cancellation) => Parallel.For(
        0,
        tiles.Length,
        new ParallelOptions { CancellationToken = cancellation },
        () => idle.TryTake(out ForwardGrid? grid) ? grid : new ForwardGrid(range, nodesAcross, largestMember / 2),
        (i, _, grid) =>
        {
            grid.Begin(xLow + tiles[i] % columns * side, yLow + tiles[i] / columns * side);
            action(tiles[i], grid);
            return grid;
        },
        idle.Add);

    // Figures that are not small have no tile: -1.
    private (int[] Starts, int[] Members, double Largest) Sort()
    {
        var tileOf = new int[figures.Count];
        var sizes = new double[FigureChunks.Count(figures.Count)];
        FigureChunks.ForEach(
            figures.Count,
            figure =>
            {
                FigureBox box = FigureBox.Of(figures[figure]);
                tileOf[figure] = IsSmall(box) ? TileOf(box) : -1;
                ref double largest = ref sizes[figure / FigureChunks.Size];
                largest = IsSmall(box) ? Math.Max(largest, Math.Max(box.Width, box.Height)) : largest;
            },
            CancellationToken.None);
        var ends = new int[columns * rows + 1];
        foreach (int tile in tileOf)
        {
            ends[tile + 1]++;
        }

        ends[0] = 0;
        for (int tile = 1; tile < ends.Length; tile++)
        {
            ends[tile] += ends[tile - 1];
        }

        var sorted = new int[ends[^1]];
        int[] next = ends[..^1];
        for (int figure = 0; figure < tileOf.Length; figure++)
        {
            if (tileOf[figure] >= 0)
            {
                sorted[next[tileOf[figure]]++] = figure;
            }
        }

        return (ends, sorted, sizes.Max());
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

    // Members of a tile, by their place in it, that the figures of another tile feel.
    private ReadOnlySpan<int> FeltBy(int tile, int near) => near == tile
        ? everyone.AsSpan(0, starts[tile + 1] - starts[tile])
        : rims[near][Direction(tile % columns - near % columns, tile / columns - near / columns)];

    private static int Direction(int across, int upward) => 3 * (upward + 1) + across + 1;

    // Members of a tile that those around it feel.
    private int[][] RimsOf(int tile)
    {
        // From the outermost point to the middle of the outermost figure.
        double reach = GaussianEnergy.Reach * range + largestMember;
        var felt = new int[Directions][];
        var lists = new List<int>[Directions];
        for (int direction = 0; direction < Directions; direction++)
        {
            lists[direction] = [];
        }

        int count = starts[tile + 1] - starts[tile];
        for (int member = 0; member < count; member++)
        {
            FigureBox box = FigureBox.Of(figures[members[starts[tile] + member]]);
            double x = (box.XLow + box.XHigh) / 2 - (xLow + tile % columns * side);
            double y = (box.YLow + box.YHigh) / 2 - (yLow + tile / columns * side);
            for (int upward = y <= reach ? -1 : 0; upward <= (y >= side - reach ? 1 : 0); upward++)
            {
                for (int across = x <= reach ? -1 : 0; across <= (x >= side - reach ? 1 : 0); across++)
                {
                    if (across != 0 || upward != 0)
                    {
                        lists[Direction(across, upward)].Add(member);
                    }
                }
            }
        }

        for (int direction = 0; direction < Directions; direction++)
        {
            felt[direction] = [.. lists[direction]];
        }

        return felt;
    }

    private TilePoints PlacesIn(int tile, FigurePoints points, List<NodePoint> all)
    {
        double left = xLow + tile % columns * side;
        double bottom = yLow + tile / columns * side;
        var firsts = new int[starts[tile + 1] - starts[tile] + 1];
        all.Clear();
        Span<ControlPoint> own = stackalloc ControlPoint[ControlPoints.Most];
        for (int k = starts[tile]; k < starts[tile + 1]; k++)
        {
            foreach (ControlPoint point in own[..points.Of(members[k], own)])
            {
                all.Add(new NodePoint(
                    (float)((point.X - left) / pitch), (float)((point.Y - bottom) / pitch), point.OwnForward > 0 ? 0 : (float)point.Weight));
            }

            firsts[k - starts[tile] + 1] = all.Count;
        }

        return new TilePoints(firsts, [.. all]);
    }

    // Points of a tile's members, in nodes from its corner, and their part in the mean of a figure: 0 of those held to their figure.
    private readonly record struct NodePoint(float U, float V, float Weight);

    private sealed record TilePoints(int[] Firsts, NodePoint[] Points)
    {
        public Span<NodePoint> Of(int member) => Points.AsSpan(Firsts[member], Firsts[member + 1] - Firsts[member]);
    }
}
