namespace PatternCompiler.Geometry.Sweep;

/// <summary>Joins the trapezoids of neighbouring bands, from the lowest up, and replaces indices of border edges by the edges.</summary>
internal sealed class TrapezoidJoiner
{
    private readonly BandSweep[] bands;

    // Of each band: the place of its first trapezoid in the result, and what its stand-ins stand for.
    private readonly int[] firsts;
    private readonly int[][] owners;
    private readonly int[][] bottoms;

    private TrapezoidJoiner(BandSweep[] bands)
    {
        this.bands = bands;
        firsts = new int[bands.Length + 1];
        owners = new int[bands.Length][];
        bottoms = new int[bands.Length][];
    }

    /// <summary>The trapezoids of all bands, ordered by bottom, then from left to right.</summary>
    public static Trapezoid[] Join(BandSweep[] bands, int threads, CancellationToken cancellation)
    {
        var joiner = new TrapezoidJoiner(bands);
        joiner.CompleteBorders();
        joiner.Number();
        Trapezoid[] result = GC.AllocateUninitializedArray<Trapezoid>(joiner.firsts[^1]);
        ParallelWork.For(bands.Length, threads, band => joiner.Resolve(band, result), cancellation);
        return result;
    }

    /// <summary>Gives edges that reach through several bands the same two ends in all of them.</summary>
    private void CompleteBorders()
    {
        for (int b = 1; b < bands.Length; b++)
        {
            for (int i = 0; i < bands[b].Borders.StandIns; i++)
            {
                ref BorderEdge below = ref bands[b - 1].Borders.Span[bands[b - 1].BordersLeft[i]];
                bands[b].Borders.Span[i].LowerX = below.LowerX;
                bands[b].Borders.Span[i].LowerY = below.LowerY;
            }
        }

        for (int b = bands.Length - 1; b > 0; b--)
        {
            for (int i = 0; i < bands[b].Borders.StandIns; i++)
            {
                ref BorderEdge below = ref bands[b - 1].Borders.Span[bands[b - 1].BordersLeft[i]];
                below.UpperX = bands[b].Borders.Span[i].UpperX;
                below.UpperY = bands[b].Borders.Span[i].UpperY;
            }
        }
    }

    private void Number()
    {
        for (int b = 0; b < bands.Length; b++)
        {
            int standIns = bands[b].TrapezoidStandIns;
            firsts[b + 1] = checked(firsts[b] + bands[b].Trapezoids.Length - standIns);
            owners[b] = new int[standIns];
            bottoms[b] = new int[standIns];
            for (int i = 0; i < standIns; i++)
            {
                int below = bands[b - 1].TrapezoidsLeft[i];
                int standInsBelow = bands[b - 1].TrapezoidStandIns;
                owners[b][i] = below < standInsBelow ? owners[b - 1][below] : firsts[b - 1] + below - standInsBelow;
                bottoms[b][i] = below < standInsBelow ? bottoms[b - 1][below] : bands[b - 1].Trapezoids[below].YBottom;
            }
        }
    }

    /// <summary>Writes the trapezoids that end in a band.</summary>
    private void Resolve(int band, Trapezoid[] result)
    {
        ReadOnlySpan<OpenTrapezoid> trapezoids = bands[band].Trapezoids;
        ReadOnlySpan<BorderEdge> borders = bands[band].Borders.Span;
        int standIns = bands[band].TrapezoidStandIns;
        for (int i = 0; i < standIns; i++)
        {
            if (trapezoids[i].IsClosed)
            {
                result[owners[band][i]] = (trapezoids[i] with { YBottom = bottoms[band][i] }).Resolve(borders);
            }
        }

        Span<Trapezoid> own = result.AsSpan(firsts[band]);
        for (int i = standIns; i < trapezoids.Length; i++)
        {
            if (trapezoids[i].IsClosed)
            {
                own[i - standIns] = trapezoids[i].Resolve(borders);
            }
        }
    }
}
