using System.Diagnostics;

namespace PatternCompiler.Geometry.Sweep;

/// <summary>Follows the border edges of a band into rings and chains.</summary>
internal ref struct OutlineTracer
{
    private const int None = -1;

    private readonly Span<BorderEdge> borders;
    private readonly bool[] done;
    private readonly RingList rings;
    private readonly LoopCutter cutter;
    private GrowingArray<PathPoint> chainPoints = new(16);

    private OutlineTracer(Span<BorderEdge> borders, int junctions)
    {
        this.borders = borders;
        done = new bool[borders.Length];
        rings = new RingList(borders.Length);
        cutter = new LoopCutter(junctions, rings);
    }

    /// <summary>The outlines of a region that was swept in one band.</summary>
    public static ContourSet Trace(Span<BorderEdge> borders, int junctions)
    {
        var tracer = new OutlineTracer(borders, junctions);
        tracer.TraceRings();
        return tracer.rings.ToContourSet();
    }

    /// <summary>
    /// The outlines of a band.
    /// </summary>
    /// <param name="borders">Its border edges; the first are those that reach into it from below.</param>
    /// <param name="standIns">How many these are.</param>
    /// <param name="bordersLeft">Border edges that reach into the band above.</param>
    /// <param name="junctions">Number of junctions.</param>
    public static BandOutlines Trace(Span<BorderEdge> borders, int standIns, List<int> bordersLeft, int junctions)
    {
        var tracer = new OutlineTracer(borders, junctions);
        var fromBelow = new BorderChain?[standIns];
        var fromAbove = new BorderChain?[bordersLeft.Count];
        for (int i = 0; i < bordersLeft.Count; i++)
        {
            ref BorderEdge edge = ref borders[bordersLeft[i]];
            if (edge.RunsUp)
            {
                edge.Follower = LeavesUpAt(i);
            }
        }

        for (int i = 0; i < standIns; i++)
        {
            fromBelow[i] = borders[i].RunsUp ? tracer.TraceChain(i) : null;
        }

        for (int i = 0; i < bordersLeft.Count; i++)
        {
            fromAbove[i] = borders[bordersLeft[i]].RunsUp ? null : tracer.TraceChain(bordersLeft[i]);
        }

        tracer.TraceRings();
        tracer.rings.Sort();
        return new BandOutlines(tracer.rings, fromBelow, fromAbove, tracer.chainPoints.ToArray(), junctions);
    }

    /// <summary>Stands for the follower of an edge whose upper end lies in the band above; its own inverse.</summary>
    private static int LeavesUpAt(int exit) => -2 - exit;

    /// <summary>The chain behind an edge whose start lies in another band.</summary>
    private BorderChain TraceChain(int head)
    {
        done[head] = true;
        int last = head;
        int edge = borders[head].Follower;
        while (edge >= 0)
        {
            done[edge] = true;
            last = edge;
            cutter.Add(new PathPoint(borders[edge].Start, borders[edge].Junction));
            edge = borders[edge].Follower;
        }

        int start = chainPoints.Count;
        int length = cutter.Path.Length;
        chainPoints.Reserve(start + length);
        chainPoints.Count += length;
        cutter.Path.CopyTo(chainPoints.Items.AsSpan(start));
        cutter.Abandon();
        Debug.Assert(edge != None || !borders[last].RunsUp, "Only an edge that comes from below leads back there.");
        return edge == None ? new BorderChain(start, length, LeavesUp: false, last) : new BorderChain(start, length, LeavesUp: true, LeavesUpAt(edge));
    }

    private readonly void TraceRings()
    {
        for (int first = 0; first < borders.Length; first++)
        {
            if (done[first])
            {
                continue;
            }

            int edge = first;
            do
            {
                done[edge] = true;
                cutter.Add(new PathPoint(borders[edge].Start, borders[edge].Junction));
                edge = borders[edge].Follower;
            }
            while (edge != first);

            cutter.EndRing();
        }
    }
}
