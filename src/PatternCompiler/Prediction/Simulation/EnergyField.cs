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
    private const double ReachInDeviations = 4.2;
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
    /// <param name="firstTerm">Terms before this one are left out; 1 for what comes back from afar alone.</param>
    public EnergyField(ChargeMap map, SpreadFunction spread, double spotNanometres, int firstTerm = 0)
    {
        this.map = map;
        double pixel = map.PixelNanometres;
        SpreadFunction seen = spread.WithSpot(spotNanometres);
        for (int term = firstTerm; term < seen.Terms.Length; term++)
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

        if (map.Fog is { } fog)
        {
            SpreadFunction wide = spread.OutOfFocus(map.FogSpotNanometres);
            for (int term = 0; term < wide.Terms.Length; term++)
            {
                var haze = new FarTerm(fog, wide.Terms[term], wide.WeightOf(term));
                LargestFog += haze.Largest;
                far.Add(haze);
            }
        }

        radius = near.Count > 0 ? near.Max(n => n.Kernel.Length / 2) : 0;
    }

    /// <summary>Side of a pixel.</summary>
    public double PixelNanometres => map.PixelNanometres;

    /// <summary>Largest energy of the map's fog, 0 without one.</summary>
    public double LargestFog { get; }

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

    /// <summary>Every tile from the leftmost and lowest to the rightmost and highest of some, row by row.</summary>
    public static List<(int Column, int Row)> AllBetween(List<(int Column, int Row)> places)
    {
        var all = new List<(int, int)>();
        if (places.Count > 0)
        {
            for (int row = places.Min(p => p.Row); row <= places.Max(p => p.Row); row++)
            {
                for (int column = places.Min(p => p.Column); column <= places.Max(p => p.Column); column++)
                {
                    all.Add((column, row));
                }
            }
        }

        return all;
    }

    /// <summary>Energy of a tile with some pixels around it, in memory of its own.</summary>
    public EnergyTile Compute((int Column, int Row) place, int margin) => Compute(place, margin, new EnergyScratch());

    /// <summary>Energy of a tile with some pixels around it, in memory that serves again for the next tile.</summary>
    public EnergyTile Compute((int Column, int Row) place, int margin, EnergyScratch scratch)
    {
        int side = ChargeMap.TileSide + 2 * margin;
        int wide = side + 2 * radius;
        int firstColumn = place.Column * ChargeMap.TileSide - margin;
        int firstRow = place.Row * ChargeMap.TileSide - margin;
        float[] energy = scratch.Energy(side * side);
        float[] source = scratch.Source(wide * wide);
        if (Gather(firstColumn - radius, firstRow - radius, wide, source, scratch.Region))
        {
            foreach ((float[] kernel, float weight) in near)
            {
                AddNear(source, wide, energy, side, kernel, weight, scratch.Columns(side * wide));
            }
        }

        double pixel = map.PixelNanometres;
        foreach (FarTerm term in far)
        {
            term.AddTo(energy.AsSpan(0, side * side), side, (firstColumn + 0.5) * pixel, (firstRow + 0.5) * pixel, pixel);
        }

        return new EnergyTile { Margin = margin, FirstColumn = firstColumn, FirstRow = firstRow, Side = side, Values = energy };
    }

    /// <summary>Visits tiles, each once, several at a time. What a visit gives may depend on its tile alone.</summary>
    /// <typeparam name="T">What serves one thread for one tile after another.</typeparam>
    /// <param name="places">The tiles.</param>
    /// <param name="margin">The largest margin that is computed.</param>
    /// <param name="newState">Makes what serves a thread.</param>
    /// <param name="visit">Takes the number of a tile.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public void Visit<T>(
        IReadOnlyList<(int Column, int Row)> places, int margin, Func<T> newState, Action<int, EnergyScratch, T> visit, CancellationToken cancellation)
    {
        if (map.IsKept)
        {
            TileWorkers.Run(places.Count, NewScratch, (i, scratch) => visit(i, scratch.Energy, scratch.State), cancellation);
            return;
        }

        int halo = margin + radius;
        List<MapPart> parts = MapPart.Of(map, places, halo);
        TileWorkers.Run(parts.Count, NewScratch, (part, scratch) =>
        {
            scratch.Energy.Open(map, parts[part], halo);
            foreach (int i in parts[part].Places)
            {
                cancellation.ThrowIfCancellationRequested();
                visit(i, scratch.Energy, scratch.State);
            }
        }, cancellation);

        // The parts' pixels are of no more use, and what was found on the tiles is about to take as much memory.
        GC.Collect(GC.MaxGeneration, GCCollectionMode.Aggressive, blocking: true, compacting: true);

        (EnergyScratch Energy, T State) NewScratch() => (new EnergyScratch(), newState());
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

    private bool Gather(int firstColumn, int firstRow, int side, float[] source, ChargeRegion? region)
    {
        if (region is not null)
        {
            region.Copy(firstColumn, firstRow, side, source);
            return source.AsSpan(0, side * side).ContainsAnyExcept(0);
        }

        bool isAny = false;
        for (int row = 0; row < side;)
        {
            int tileRow = (firstRow + row) >> 8;
            int rowsHere = Math.Min(side - row, ((tileRow + 1) << 8) - (firstRow + row));
            for (int column = 0; column < side;)
            {
                int tileColumn = (firstColumn + column) >> 8;
                int columnsHere = Math.Min(side - column, ((tileColumn + 1) << 8) - (firstColumn + column));
                if (map.Tile((tileColumn, tileRow)) is { } tile)
                {
                    isAny = true;
                    tile.Copy(firstColumn + column, firstRow + row, columnsHere, rowsHere, source.AsSpan(row * side + column), side);
                }

                column += columnsHere;
            }

            row += rowsHere;
        }

        return isAny;
    }

    private void AddNear(float[] source, int wide, float[] energy, int side, float[] kernel, float weight, float[] down)
    {
        // Down the columns first, on whole rows at a time, then along the rows.
        int reach = kernel.Length / 2;
        for (int row = 0; row < side; row++)
        {
            Span<float> target = down.AsSpan(row * wide, wide);
            AddSpread(target, source, (row + radius) * wide, wide, kernel, reach, 1);
        }

        for (int row = 0; row < side; row++)
        {
            Span<float> target = energy.AsSpan(row * side, side);
            AddSpread(target, down, row * wide + radius, 1, kernel, reach, weight);
        }
    }

    /// <summary>
    /// Adds to every target the source around it, weighted by a symmetric kernel; neighbours are a stride apart. Works on
    /// vectors of targets, four kernel values at a time, so that targets are loaded and stored rarely.
    /// </summary>
    private static void AddSpread(Span<float> target, float[] source, int start, int stride, float[] kernel, int reach, float weight)
    {
        AddScaled(target, source.AsSpan(start, target.Length), kernel[reach] * weight);
        int k = 1;
        for (; k + 1 <= reach; k += 2)
        {
            float w1 = kernel[reach + k] * weight;
            float w2 = kernel[reach + k + 1] * weight;
            ReadOnlySpan<float> a = source.AsSpan(start - k * stride, target.Length);
            ReadOnlySpan<float> b = source.AsSpan(start + k * stride, target.Length);
            ReadOnlySpan<float> c = source.AsSpan(start - (k + 1) * stride, target.Length);
            ReadOnlySpan<float> d = source.AsSpan(start + (k + 1) * stride, target.Length);
            Span<Vector<float>> wide = MemoryMarshal.Cast<float, Vector<float>>(target);
            ReadOnlySpan<Vector<float>> wa = MemoryMarshal.Cast<float, Vector<float>>(a);
            ReadOnlySpan<Vector<float>> wb = MemoryMarshal.Cast<float, Vector<float>>(b);
            ReadOnlySpan<Vector<float>> wc = MemoryMarshal.Cast<float, Vector<float>>(c);
            ReadOnlySpan<Vector<float>> wd = MemoryMarshal.Cast<float, Vector<float>>(d);
            var v1 = new Vector<float>(w1);
            var v2 = new Vector<float>(w2);
            for (int i = 0; i < wide.Length; i++)
            {
                wide[i] += (wa[i] + wb[i]) * v1 + (wc[i] + wd[i]) * v2;
            }

            for (int i = wide.Length * Vector<float>.Count; i < target.Length; i++)
            {
                target[i] += (a[i] + b[i]) * w1 + (c[i] + d[i]) * w2;
            }
        }

        if (k <= reach)
        {
            AddScaled(target, source.AsSpan(start - k * stride, target.Length), kernel[reach + k] * weight);
            AddScaled(target, source.AsSpan(start + k * stride, target.Length), kernel[reach + k] * weight);
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
