using System.Runtime.CompilerServices;

namespace PatternCompiler.Geometry.Sweep;

/// <summary>The border edges of a band: where each runs, and which follows it.</summary>
internal sealed class BorderBuilder
{
    private const int None = -1;

    private GrowingArray<BorderEdge> borders = new(256);
    private int[] around = new int[32];

    // The edge that runs to the right from the vertex before on the same grid line.
    private int openHorizontal = None;

    /// <summary>The border edges found; the first <see cref="StandIns"/> belong to the band below.</summary>
    public Span<BorderEdge> Span => borders.Span;

    public int StandIns { get; private set; }

    /// <summary>Number of vertices at which more than two border edges meet.</summary>
    public int Junctions { get; private set; }

    /// <summary>True between two vertices that a horizontal border edge joins.</summary>
    public bool HasOpenHorizontal => openHorizontal != None;

    /// <summary>A border edge that comes from the band below; all of them before any other.</summary>
    public int AddStandIn(in ActiveEdge edge, bool runsUp)
    {
        StandIns++;
        return Add(edge.LowerX, edge.LowerY, edge.UpperX, edge.UpperY, runsUp);
    }

    /// <summary>Creates the border edges that start upward at a vertex.</summary>
    /// <param name="x">The vertex.</param>
    /// <param name="y">The vertex.</param>
    /// <param name="outgoing">The links that start there.</param>
    /// <param name="bordersOut">For each -1, or whether the border runs up as 1 or 0; afterwards the index of the edge.</param>
    public void Start(int x, int y, OutgoingLinks outgoing, int[] bordersOut)
    {
        for (int i = 0; i < outgoing.Count; i++)
        {
            if (bordersOut[i] != None)
            {
                bordersOut[i] = Add(x, y, outgoing.UpperX(i), outgoing.UpperY(i), bordersOut[i] != 0);
            }
        }
    }

    /// <summary>Moves the upper end of an edge on along its line.</summary>
    public void Extend(int border, int upperX, int upperY)
    {
        borders.Items[border].UpperX = upperX;
        borders.Items[border].UpperY = upperY;
    }

    /// <summary>
    /// Joins the border edges around a vertex. Counter-clockwise from the right, covered and uncovered sectors alternate;
    /// the edge that ends a covered sector runs toward the vertex and is followed by the edge that begins the sector.
    /// </summary>
    public void LinkAround(
        ActiveEdge[] slots, ReadOnlySpan<int> bordersIn, ReadOnlySpan<int> bordersOut, int x, int y, bool horizontalRight, bool coveredRight)
    {
        int most = bordersIn.Length + bordersOut.Length + 2;
        if (around.Length < most)
        {
            around = new int[most * 2];
        }

        int count = 0;
        bool coveredAfterFirst = !coveredRight;
        int nextHorizontal = None;
        if (horizontalRight)
        {
            coveredAfterFirst = coveredRight;
            nextHorizontal = Add(x, y, 0, y, coveredRight);
            around[count++] = nextHorizontal;
        }

        for (int i = bordersOut.Length - 1; i >= 0; i--)
        {
            if (bordersOut[i] != None)
            {
                around[count++] = bordersOut[i];
            }
        }

        if (openHorizontal != None)
        {
            borders.Items[openHorizontal].UpperX = x;
            around[count++] = openHorizontal;
        }

        foreach (int slot in bordersIn)
        {
            around[count++] = slots[slot].Border;
        }

        openHorizontal = nextHorizontal;
        int junction = count > 2 ? Junctions++ : None;
        for (int i = coveredAfterFirst ? 0 : 1; i < count; i += 2)
        {
            int begins = around[i];
            int ends = around[i + 1 == count ? 0 : i + 1];
            borders.Items[ends].Follower = begins;
            borders.Items[begins].Junction = junction;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private int Add(int lowerX, int lowerY, int upperX, int upperY, bool runsUp)
    {
        borders.Add(new BorderEdge { LowerX = lowerX, LowerY = lowerY, UpperX = upperX, UpperY = upperY, RunsUp = runsUp, Follower = None, Junction = None });
        return borders.Count - 1;
    }
}
