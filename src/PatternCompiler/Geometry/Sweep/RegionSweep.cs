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
        int[] firsts = CutBands(arrangement, threads, linksPerBand);
        var bands = new BandOutlines[firsts.Length - 1];
        ParallelWork.For(bands.Length, threads, band =>
        {
            BandSweep sweep = Sweep(arrangement, rule, decompose: false, firsts[band], firsts[band + 1], cancellation);
            bands[band] = OutlineTracer.Trace(sweep.Borders.Span, sweep.Borders.StandIns, sweep.BordersLeft, sweep.Borders.Junctions);
        }, cancellation);

        int[] lines = [.. firsts.SkipLast(1).Select(first => first < arrangement.VertexCount ? arrangement.Y(first) : 0)];
        return OutlineJoiner.Join(bands, lines, threads, cancellation);
    }

    /// <summary>Cuts the covered region into trapezoids.</summary>
    public static Trapezoid[] Decompose(
        Arrangement arrangement, CoverRule rule, int threads, CancellationToken cancellation, int linksPerBand = LinksPerBand)
    {
        int[] firsts = CutBands(arrangement, threads, linksPerBand);
        var bands = new BandSweep[firsts.Length - 1];
        ParallelWork.For(bands.Length, threads, band =>
            bands[band] = Sweep(arrangement, rule, decompose: true, firsts[band], firsts[band + 1], cancellation), cancellation);
        return TrapezoidJoiner.Join(bands, threads, cancellation);
    }

    private static BandSweep Sweep(
        Arrangement arrangement, CoverRule rule, bool decompose, int firstVertex, int endVertex, CancellationToken cancellation)
    {
        var sweep = new BandSweep(arrangement, rule, decompose, firstVertex, endVertex);
        sweep.Run(cancellation);
        return sweep;
    }

    /// <summary>First vertices of bands with about equally many links, and the vertex count at the end.</summary>
    internal static int[] CutBands(Arrangement arrangement, int threads, int linksPerBand)
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
