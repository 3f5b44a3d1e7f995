using System.Numerics;
using System.Runtime.InteropServices;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// Energy that a map's charge leaves in the resist, tile by tile: narrow Gaussian terms exactly on the pixels, wide
/// terms on coarser cells.
/// </summary>
internal sealed class EnergyField
{
    private const double ReachInDeviations = 4.5;
    private const int WidestKernel = 96;

    // A Gaussian sampled at its own standard deviation is flat within 5e-9 (Poisson summation); at this variance within 3e-6.
    private const double SmallestVarianceInPixels = 0.68;
    private readonly ChargeMap map;
    private readonly List<(float[] Kernel, float Weight)> near = [];
    private readonly List<FarTerm> far = [];
    private readonly int radius;

    /// <summary>Prepares the terms.</summary>
    /// <param name="map">Charge.</param>
    /// <param name="spread">Spread of an ideally fine beam.</param>
    /// <param name="spotNanometres">Spot, full width at half maximum.</param>
    public EnergyField(ChargeMap map, SpreadFunction spread, double spotNanometres)
    {
        this.map = map;
        double pixel = map.PixelNanometres;
        SpreadFunction seen = spread.WithSpot(spotNanometres);
        for (int term = 0; term < seen.Terms.Length; term++)
        {
            SpreadTerm t = seen.Terms[term];
            double deviation = t.RangeNanometres / Math.Sqrt(2);
            if (t.Shape == SpreadShape.Gaussian && ReachInDeviations * deviation / pixel <= WidestKernel)
            {
                near.Add((Kernel(deviation), (float)seen.WeightOf(term)));
            }
            else
            {
                far.Add(new FarTerm(map, t, seen.WeightOf(term)));
            }
        }

        radius = near.Count > 0 ? near.Max(n => n.Kernel.Length / 2) : 0;
    }

    /// <summary>Side of a pixel.</summary>
    public double PixelNanometres => map.PixelNanometres;

    /// <summary>
    /// Tiles where the energy can reach a level: those with charge, those beside them, and those where the wide terms alone
    /// come close to it. Row by row.
    /// </summary>
    public List<(int Column, int Row)> TilesReaching(double level)
    {
        var places = new HashSet<(int, int)>();
        foreach ((int column, int row) in map.TilePlaces)
        {
            for (int dy = -1; dy <= 1; dy++)
            {
                for (int dx = -1; dx <= 1; dx++)
                {
                    places.Add((column + dx, row + dy));
                }
            }
        }

        if (places.Count > 0 && far.Count > 0)
        {
            AddHazyTiles(places, 0.9 * level);
        }

        return [.. places.OrderBy(p => p.Item2).ThenBy(p => p.Item1)];
    }

    /// <summary>Energy of a tile with some pixels around it.</summary>
    public EnergyTile Compute((int Column, int Row) place, int margin)
    {
        int side = ChargeMap.TileSide + 2 * margin;
        int wide = side + 2 * radius;
        int firstColumn = place.Column * ChargeMap.TileSide - margin;
        int firstRow = place.Row * ChargeMap.TileSide - margin;
        var energy = new float[side * side];
        float[] source = Gather(firstColumn - radius, firstRow - radius, wide);
        if (Array.Exists(source, dose => dose != 0))
        {
            foreach ((float[] kernel, float weight) in near)
            {
                AddNear(source, wide, energy, side, kernel, weight);
            }
        }

        double pixel = map.PixelNanometres;
        foreach (FarTerm term in far)
        {
            for (int row = 0; row < side; row++)
            {
                term.AddRow(energy.AsSpan(row * side, side), (firstColumn + 0.5) * pixel, pixel, (firstRow + row + 0.5) * pixel);
            }
        }

        return new EnergyTile { Margin = margin, FirstColumn = firstColumn, FirstRow = firstRow, Side = side, Values = energy };
    }

    private void AddHazyTiles(HashSet<(int, int)> places, double level)
    {
        double size = ChargeMap.TileSide * map.PixelNanometres;
        int left = places.Min(p => p.Item1);
        int right = places.Max(p => p.Item1);
        int bottom = places.Min(p => p.Item2);
        int top = places.Max(p => p.Item2);
        for (int row = bottom; row <= top; row++)
        {
            for (int column = left; column <= right; column++)
            {
                if (far.Sum(f => f.LargestIn(column * size, row * size, (column + 1) * size, (row + 1) * size)) >= level)
                {
                    places.Add((column, row));
                }
            }
        }
    }

    private float[] Kernel(double deviation)
    {
        double pixel = map.PixelNanometres;

        double variance = deviation * deviation - ChargeMap.SplitVariance * pixel * pixel;
        if (variance < SmallestVarianceInPixels * pixel * pixel)
        {
            throw new CompileException(
                PredictionCodes.PixelTooLarge,
                $"pixels of {pixel} nm are too large for a beam and forward scattering of {Math.Round(deviation, 2)} nm standard deviation",
                fix: $"use pixels of {Math.Round(deviation / Math.Sqrt(SmallestVarianceInPixels + ChargeMap.SplitVariance) - 0.05, 1)} nm or less");
        }

        int reach = (int)Math.Ceiling(ReachInDeviations * deviation / pixel);
        var weights = new double[2 * reach + 1];
        for (int i = -reach; i <= reach; i++)
        {
            weights[i + reach] = Math.Exp(-(i * pixel) * (i * pixel) / (2 * variance));
        }

        double sum = weights.Sum();
        return Array.ConvertAll(weights, weight => (float)(weight / sum));
    }

    private float[] Gather(int firstColumn, int firstRow, int side)
    {
        var source = new float[side * side];
        for (int row = 0; row < side;)
        {
            int tileRow = (firstRow + row) >> 8;
            int rowsHere = Math.Min(side - row, ((tileRow + 1) << 8) - (firstRow + row));
            for (int column = 0; column < side;)
            {
                int tileColumn = (firstColumn + column) >> 8;
                int columnsHere = Math.Min(side - column, ((tileColumn + 1) << 8) - (firstColumn + column));
                ReadOnlySpan<float> tile = map.Tile((tileColumn, tileRow));
                if (!tile.IsEmpty)
                {
                    int inColumn = firstColumn + column - (tileColumn << 8);
                    for (int r = 0; r < rowsHere; r++)
                    {
                        int inRow = firstRow + row + r - (tileRow << 8);
                        tile.Slice(inRow * ChargeMap.TileSide + inColumn, columnsHere).CopyTo(source.AsSpan((row + r) * side + column));
                    }
                }

                column += columnsHere;
            }

            row += rowsHere;
        }

        return source;
    }

    private void AddNear(float[] source, int wide, float[] energy, int side, float[] kernel, float weight)
    {
        // Down the columns first, on whole rows at a time, then along the rows.
        int reach = kernel.Length / 2;
        var down = new float[side * wide];
        for (int row = 0; row < side; row++)
        {
            Span<float> target = down.AsSpan(row * wide, wide);
            for (int k = -reach; k <= reach; k++)
            {
                AddScaled(target, source.AsSpan((row + radius + k) * wide, wide), kernel[k + reach]);
            }
        }

        for (int row = 0; row < side; row++)
        {
            Span<float> target = energy.AsSpan(row * side, side);
            for (int k = -reach; k <= reach; k++)
            {
                AddScaled(target, down.AsSpan(row * wide + radius + k, side), kernel[k + reach] * weight);
            }
        }
    }

    private static void AddScaled(Span<float> target, ReadOnlySpan<float> source, float factor)
    {
        Span<Vector<float>> wideTarget = MemoryMarshal.Cast<float, Vector<float>>(target);
        ReadOnlySpan<Vector<float>> wideSource = MemoryMarshal.Cast<float, Vector<float>>(source);
        var wideFactor = new Vector<float>(factor);
        for (int i = 0; i < wideTarget.Length; i++)
        {
            wideTarget[i] += wideSource[i] * wideFactor;
        }

        for (int i = wideTarget.Length * Vector<float>.Count; i < target.Length; i++)
        {
            target[i] += source[i] * factor;
        }
    }
}
