using System.Numerics;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// Energy of a wide term of the spread, on cells an eighth of its range wide; between cell centres by cubic
/// interpolation.
/// </summary>
internal sealed class FarTerm
{
    private const double CellsPerRange = 8;

    // Charge, energy, and what the blur keeps between its two directions.
    private const int Arrays = 3;
    private const long LargestBytes = 512L << 20;

    // What is developed goes beyond a window by less than this many tiles.
    private const int TilesAroundWindow = 4;
    private const double GaussianReach = 3.6;
    private const double ExponentialReach = 11;
    private readonly double cell;
    private readonly int left;
    private readonly int bottom;
    private readonly int columns;
    private readonly int rows;
    private readonly float[] energy;

    /// <summary>Sums a map's charge on cells and spreads it.</summary>
    public FarTerm(ChargeMap map, SpreadTerm term, double weight)
    {
        double pixel = map.PixelNanometres;
        int pixelsPerCell = Math.Max(1, (int)(term.RangeNanometres / CellsPerRange / pixel));
        cell = pixelsPerCell * pixel;
        int radius = (int)Math.Ceiling((term.Shape == SpreadShape.Gaussian ? GaussianReach : ExponentialReach) * term.RangeNanometres / cell);
        ChargeMap[] maps = map.Outside is null ? [map] : [map, map.Outside];
        (ChargeMap Map, (int Column, int Row) Place)[] tiles = [.. maps.SelectMany(m => m.TilePlaces.Select(place => (m, place)))];
        if (tiles.Length == 0)
        {
            energy = [];
            return;
        }

        left = (int)Math.Floor(tiles.Min(t => t.Place.Column * t.Map.TileNanometres) / cell) - radius - 2;
        bottom = (int)Math.Floor(tiles.Min(t => t.Place.Row * t.Map.TileNanometres) / cell) - radius - 2;
        long across = (long)Math.Ceiling(tiles.Max(t => (t.Place.Column + 1) * t.Map.TileNanometres) / cell) + radius + 3 - left;
        long up = (long)Math.Ceiling(tiles.Max(t => (t.Place.Row + 1) * t.Map.TileNanometres) / cell) + radius + 3 - bottom;
        if (map.Window is SampleWindow window)
        {
            // Charge that cannot reach the window takes no cells.
            double reach = SeparableBlur.ReachInCells(term.Shape, term.RangeNanometres / cell) * cell + TilesAroundWindow * map.TileNanometres;
            SampleWindow near = window.Widened(reach);
            int right = (int)Math.Min(left + across, Math.Ceiling(near.Right / cell));
            int top = (int)Math.Min(bottom + up, Math.Ceiling(near.Top / cell));
            left = (int)Math.Max(left, Math.Floor(near.Left / cell));
            bottom = (int)Math.Max(bottom, Math.Floor(near.Bottom / cell));
            (across, up) = (Math.Max(0, right - left), Math.Max(0, top - bottom));
        }

        if ((Int128)across * up * Arrays * sizeof(double) > LargestBytes)
        {
            throw new CompileException(
                PredictionCodes.MapTooLarge,
                $"spreading energy by {NumberText.Format(term.RangeNanometres)} nm over {across} by {up} cells takes more than {LargestBytes >> 20} MB",
                fix: "simulate a window, or patterns that lie far apart one by one");
        }

        (columns, rows) = ((int)across, (int)up);
        var source = new Cells(left, bottom, columns, rows);
        foreach (ChargeMap part in maps)
        {
            Gather(part, source);
        }

        // Charge counts as spread evenly over its cell; its split over neighbouring pixels has widened it some more.
        var spread = new double[columns * rows];
        double variance = 1 / 12.0 + ChargeMap.SplitVariance * pixel * pixel / (cell * cell);
        new SeparableBlur(term.Shape, term.RangeNanometres / cell, variance, columns, rows).Run(source.Values, spread, new double[columns * rows]);
        energy = Array.ConvertAll(spread, value => (float)(value * weight));
    }

    /// <summary>Largest energy of all cells.</summary>
    public float Largest => energy.Length > 0 ? energy.Max() : 0;

    /// <summary>Largest energy in a part of the sample.</summary>
    public float LargestIn(double x0, double y0, double x1, double y1)
    {
        float largest = 0;
        for (int row = Math.Max(0, Row(y0)); row <= Math.Min(rows - 1, Row(y1) + 1); row++)
        {
            for (int column = Math.Max(0, Column(x0)); column <= Math.Min(columns - 1, Column(x1) + 1); column++)
            {
                largest = Math.Max(largest, energy[row * columns + column]);
            }
        }

        return largest;
    }

    /// <summary>Adds the energy to evenly spaced places: square, row by row from the bottom left, whose place is given.</summary>
    public void AddTo(Span<float> target, int side, double x, double y, double step)
    {
        // Weights along a row are those of every row.
        Span<float> weights = new float[4 * side];
        Span<int> columnOf = new int[side];
        Span<float> w = stackalloc float[4];
        for (int i = 0; i < side; i++)
        {
            double u = (x + i * step) / cell - 0.5 - left;
            columnOf[i] = (int)Math.Floor(u);
            Cubic((float)(u - columnOf[i]), w);
            for (int k = 0; k < 4; k++)
            {
                weights[k * side + i] = w[k];
            }
        }

        for (int r = 0; r < side; r++)
        {
            double v = (y + r * step) / cell - 0.5 - bottom;
            int row = (int)Math.Floor(v);
            if (row < 1 || row >= rows - 2)
            {
                continue;
            }

            Cubic((float)(v - row), w);
            Span<float> line = target.Slice(r * side, side);
            for (int from = 0, to; from < side; from = to)
            {
                int column = columnOf[from];
                to = columnOf[from..].IndexOfAnyExcept(column) is >= 0 and int length ? from + length : side;
                if (column >= 1 && column < columns - 2)
                {
                    int start = (row - 1) * columns + column - 1;
                    Along(
                        line[from..to], weights[from..], side, new Vector4(Down(start, w), Down(start + 1, w), Down(start + 2, w), Down(start + 3, w)));
                }
            }
        }
    }

    /// <summary>Adds the sum of four energies, weighted differently at each place; the weights of the next energy lie a stride behind.</summary>
    private static void Along(Span<float> target, ReadOnlySpan<float> weights, int stride, Vector4 energies)
    {
        ReadOnlySpan<float> w0 = weights[..target.Length], w1 = weights.Slice(stride, target.Length);
        ReadOnlySpan<float> w2 = weights.Slice(2 * stride, target.Length), w3 = weights.Slice(3 * stride, target.Length);
        (Vector<float> e0, Vector<float> e1) = (new(energies.X), new(energies.Y));
        (Vector<float> e2, Vector<float> e3) = (new(energies.Z), new(energies.W));
        int i = 0;
        for (; i <= target.Length - Vector<float>.Count; i += Vector<float>.Count)
        {
            Vector<float> sum = new Vector<float>(w0[i..]) * e0 + new Vector<float>(w1[i..]) * e1 + new Vector<float>(w2[i..]) * e2 + new Vector<float>(w3[i..]) * e3;
            (new Vector<float>(target[i..]) + sum).CopyTo(target[i..]);
        }

        for (; i < target.Length; i++)
        {
            target[i] += w0[i] * energies.X + w1[i] * energies.Y + w2[i] * energies.Z + w3[i] * energies.W;
        }
    }

    private float Down(int start, ReadOnlySpan<float> weights) =>
        weights[0] * energy[start] + weights[1] * energy[start + columns]
        + weights[2] * energy[start + 2 * columns] + weights[3] * energy[start + 3 * columns];

    // Lagrange's cubic through four neighbours, the place at t between the middle two.
    private static void Cubic(float t, Span<float> weights)
    {
        weights[0] = -t * (t - 1) * (t - 2) / 6;
        weights[1] = (t + 1) * (t - 1) * (t - 2) / 2;
        weights[2] = -(t + 1) * t * (t - 2) / 2;
        weights[3] = (t + 1) * t * (t - 1) / 6;
    }

    private int Column(double x) => (int)Math.Floor(x / cell - 0.5) - left;

    private int Row(double y) => (int)Math.Floor(y / cell - 0.5) - bottom;

    private void Gather(ChargeMap map, Cells source)
    {
        (int Column, int Row)[] places = [.. map.TilePlaces];
        if (map.IsKept)
        {
            foreach ((int, int) place in places)
            {
                Gather(map.PixelNanometres, place, map.Tile(place)!.Pixels(), source);
            }

            return;
        }

        // Parts share the cells at their borders: each is summed alone, and then all of them in their order.
        List<MapPart> parts = MapPart.Of(map, places, 0);
        var sums = new Cells[parts.Count];
        TileWorkers.Run(parts.Count, () => (Region: new ChargeRegion(map), Tile: new float[ChargeMap.TileSide * ChargeMap.TileSide]), (i, scratch) =>
        {
            MapPart part = parts[i];
            scratch.Region.Fill(part, 0);
            (int firstColumn, int firstRow) = (CellOf(part.Left * ChargeMap.TileSide, map), CellOf(part.Bottom * ChargeMap.TileSide, map));
            sums[i] = new Cells(
                firstColumn, firstRow, CellOf(part.Right * ChargeMap.TileSide, map) + 1 - firstColumn, CellOf(part.Top * ChargeMap.TileSide, map) + 1 - firstRow);
            foreach (int place in part.Places)
            {
                scratch.Region.Copy(places[place].Column * ChargeMap.TileSide, places[place].Row * ChargeMap.TileSide, ChargeMap.TileSide, scratch.Tile);
                Gather(map.PixelNanometres, places[place], scratch.Tile, sums[i]);
            }
        }, CancellationToken.None);
        foreach (Cells part in sums)
        {
            source.Add(part);
        }
    }

    private int CellOf(int pixel, ChargeMap map) => (int)Math.Floor((pixel + 0.5) * map.PixelNanometres / cell);

    /// <summary>Adds a tile's charge to the mean dose of the cells.</summary>
    private void Gather(double pixel, (int Column, int Row) place, float[] tile, Cells cells)
    {
        double perCell = pixel * pixel / (cell * cell);
        Span<int> columnOf = stackalloc int[ChargeMap.TileSide];
        for (int c = 0; c < columnOf.Length; c++)
        {
            columnOf[c] = (int)Math.Floor((place.Column * ChargeMap.TileSide + c + 0.5) * pixel / cell) - cells.Left;
        }

        for (int r = 0; r < ChargeMap.TileSide; r++)
        {
            int row = (int)Math.Floor((place.Row * ChargeMap.TileSide + r + 0.5) * pixel / cell) - cells.Bottom;
            if ((uint)row >= (uint)cells.Rows)
            {
                continue;
            }

            for (int c = 0; c < ChargeMap.TileSide; c++)
            {
                float dose = tile[r * ChargeMap.TileSide + c];
                if (dose != 0 && (uint)columnOf[c] < (uint)cells.Columns)
                {
                    cells.Values[row * cells.Columns + columnOf[c]] += dose * perCell;
                }
            }
        }
    }

    /// <summary>Mean doses of a rectangle of cells, row by row from the bottom left.</summary>
    private sealed record Cells(int Left, int Bottom, int Columns, int Rows)
    {
        public double[] Values { get; } = new double[Columns * Rows];

        public void Add(Cells other)
        {
            for (int row = Math.Max(Bottom, other.Bottom); row < Math.Min(Bottom + Rows, other.Bottom + other.Rows); row++)
            {
                for (int column = Math.Max(Left, other.Left); column < Math.Min(Left + Columns, other.Left + other.Columns); column++)
                {
                    Values[(row - Bottom) * Columns + column - Left] += other.Values[(row - other.Bottom) * other.Columns + column - other.Left];
                }
            }
        }
    }
}
