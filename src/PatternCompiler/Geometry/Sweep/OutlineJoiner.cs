namespace PatternCompiler.Geometry.Sweep;

/// <summary>Joins the outlines of neighbouring bands, from the lowest up, into those of the whole region.</summary>
internal sealed class OutlineJoiner
{
    private readonly BandOutlines[] bands;
    private readonly int[] bandLines;
    private readonly int[] firstJunctions;
    private readonly RingList crossing = new(16);
    private readonly LoopCutter cutter;

    private OutlineJoiner(BandOutlines[] bands, int[] bandLines)
    {
        this.bands = bands;
        this.bandLines = bandLines;
        firstJunctions = new int[bands.Length];
        int junctions = 0;
        for (int b = 0; b < bands.Length; b++)
        {
            firstJunctions[b] = junctions;
            junctions += bands[b].Junctions;
        }

        cutter = new LoopCutter(junctions, crossing);
    }

    /// <summary>Joins the bands.</summary>
    /// <param name="bands">Their outlines.</param>
    /// <param name="bandLines">The lowest grid line of each.</param>
    /// <param name="threads">Threads to use.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public static ContourSet Join(BandOutlines[] bands, int[] bandLines, int threads, CancellationToken cancellation)
    {
        if (bands.Length == 1)
        {
            return bands[0].Rings.ToContourSet();
        }

        var joiner = new OutlineJoiner(bands, bandLines);
        joiner.JoinChains();
        return joiner.Collect(threads, cancellation);
    }

    /// <summary>Every ring that lies in several bands enters one of them from below.</summary>
    private void JoinChains()
    {
        var joined = new bool[bands.Length][];
        for (int b = 0; b < bands.Length; b++)
        {
            joined[b] = new bool[bands[b].FromBelow.Length];
        }

        for (int b = 1; b < bands.Length; b++)
        {
            for (int i = 0; i < joined[b].Length; i++)
            {
                if (!joined[b][i] && bands[b].FromBelow[i] is not null)
                {
                    JoinRing(b, i, joined);
                }
            }
        }

        crossing.Sort();
    }

    private void JoinRing(int band, int entry, bool[][] joined)
    {
        joined[band][entry] = true;
        BorderChain chain = bands[band].FromBelow[entry]!.Value;
        while (true)
        {
            foreach (PathPoint point in bands[band].ChainPoints.AsSpan(chain.Start, chain.Length))
            {
                cutter.Add(point.Junction < 0 ? point : point with { Junction = point.Junction + firstJunctions[band] });
            }

            if (!chain.LeavesUp)
            {
                band--;
                chain = bands[band].FromAbove[chain.Exit]!.Value;
                continue;
            }

            band++;
            if (joined[band][chain.Exit])
            {
                break;
            }

            joined[band][chain.Exit] = true;
            chain = bands[band].FromBelow[chain.Exit]!.Value;
        }

        cutter.EndRing();
    }

    /// <summary>Merges the rings of the bands and those between them in order; each band's go to a place of their own.</summary>
    private ContourSet Collect(int threads, CancellationToken cancellation)
    {
        int[] crossingStarts = DivideCrossing();
        var firstRings = new int[bands.Length + 1];
        var firstPoints = new int[bands.Length + 1];
        for (int b = 0; b < bands.Length; b++)
        {
            int pointCount = bands[b].Rings.PointCount;
            foreach (OutlineRing ring in crossing.Rings[crossingStarts[b]..crossingStarts[b + 1]])
            {
                pointCount += ring.Length;
            }

            firstRings[b + 1] = firstRings[b] + bands[b].Rings.Rings.Length + crossingStarts[b + 1] - crossingStarts[b];
            firstPoints[b + 1] = firstPoints[b] + pointCount;
        }

        GridPoint[] points = GC.AllocateUninitializedArray<GridPoint>(firstPoints[^1]);
        int[] ends = GC.AllocateUninitializedArray<int>(firstRings[^1]);
        ParallelWork.For(bands.Length, threads, b =>
        {
            ReadOnlySpan<OutlineRing> own = bands[b].Rings.Rings;
            ReadOnlySpan<OutlineRing> others = crossing.Rings[crossingStarts[b]..crossingStarts[b + 1]];
            int count = firstPoints[b];
            for (int i = 0, j = 0; i + j < own.Length + others.Length;)
            {
                ReadOnlySpan<GridPoint> ring = j == others.Length || (i < own.Length && own[i].CompareTo(others[j]) <= 0)
                    ? bands[b].Rings.Points(own[i++])
                    : crossing.Points(others[j++]);
                ring.CopyTo(points.AsSpan(count));
                count += ring.Length;
                ends[firstRings[b] + i + j - 1] = count;
            }
        }, cancellation);

        return points.Length == 0 ? ContourSet.Empty : new ContourSet(points, ends);
    }

    /// <summary>Where the crossing rings that begin in each band start in their list.</summary>
    private int[] DivideCrossing()
    {
        var starts = new int[bands.Length + 1];
        int ring = 0;
        for (int b = 1; b < bands.Length; b++)
        {
            while (ring < crossing.Rings.Length && crossing.Rings[ring].First.Y < bandLines[b])
            {
                ring++;
            }

            starts[b] = ring;
        }

        starts[^1] = crossing.Rings.Length;
        return starts;
    }
}
