namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Sweeps a whole arrangement: in one band, or in several at once that are joined afterwards. The outcome is the same
/// to the last index, since bands number their finds in the order of a single sweep.
/// </summary>
internal static class RegionSweep
{
    /// <summary>Below this a band is not worth a thread.</summary>
    private const int LinksPerBand = 20_000;

    /// <summary>Finds the outlines of the covered region.</summary>
    public static ContourSet Outlines(
        Arrangement arrangement, CoverRule rule, int threads, CancellationToken cancellation, int linksPerBand = LinksPerBand)
    {
        BandSweep[] bands = Sweep(arrangement, rule, decompose: false, threads, linksPerBand, cancellation);
        var joined = new BandJoiner(bands);
        return OutlineTracer.Trace(joined.JoinBorders(), joined.Junctions);
    }

    /// <summary>Cuts the covered region into trapezoids.</summary>
    public static Trapezoid[] Decompose(
        Arrangement arrangement, CoverRule rule, int threads, CancellationToken cancellation, int linksPerBand = LinksPerBand)
    {
        BandSweep[] bands = Sweep(arrangement, rule, decompose: true, threads, linksPerBand, cancellation);
        var joined = new BandJoiner(bands);
        Span<BorderEdge> borders = joined.JoinBorders();
        return TrapezoidBuilder.Resolve(joined.JoinTrapezoids(), borders);
    }

    private static BandSweep[] Sweep(
        Arrangement arrangement, CoverRule rule, bool decompose, int threads, int linksPerBand, CancellationToken cancellation)
    {
        int[] firsts = CutBands(arrangement, threads, linksPerBand);
        var bands = new BandSweep[firsts.Length - 1];
        if (bands.Length == 1)
        {
            bands[0] = Run(0);
        }
        else
        {
            Parallel.For(
                0,
                bands.Length,
                new ParallelOptions { MaxDegreeOfParallelism = threads, CancellationToken = cancellation },
                band => bands[band] = Run(band));
        }

        return bands;

        BandSweep Run(int band)
        {
            var sweep = new BandSweep(arrangement, rule, decompose, firsts[band], firsts[band + 1]);
            sweep.Run(cancellation);
            return sweep;
        }
    }

    /// <summary>First vertices of bands with about equally many links, and the vertex count at the end.</summary>
    private static int[] CutBands(Arrangement arrangement, int threads, int linksPerBand)
    {
        int links = arrangement.LinkStarts[^1];
        int wanted = Math.Clamp(links / linksPerBand, 1, threads);
        var firsts = new List<int> { 0 };
        for (int band = 1; band < wanted; band++)
        {
            int vertex = Array.BinarySearch(arrangement.LinkStarts, (int)((long)links * band / wanted));
            vertex = vertex < 0 ? ~vertex : vertex;
            while (vertex > 0 && vertex < arrangement.VertexCount && arrangement.Y(vertex) == arrangement.Y(vertex - 1))
            {
                vertex++;
            }

            if (vertex > firsts[^1] && vertex < arrangement.VertexCount)
            {
                firsts.Add(vertex);
            }
        }

        firsts.Add(arrangement.VertexCount);
        return [.. firsts];
    }
}
