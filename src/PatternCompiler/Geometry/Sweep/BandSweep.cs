using System.Diagnostics;
using System.Runtime.CompilerServices;

namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Sweeps a line upward over the vertices of a band of grid lines, keeps the winding numbers between the links it crosses,
/// and so finds the border of the covered region: its edges, how they follow each other, and the trapezoids between them.
/// A band starts from the links that reach into it from below; border edges and trapezoids that come from there are
/// represented by stand-ins, the first entries of the lists, in order from left to right.
/// </summary>
internal sealed class BandSweep
{
    private const int None = -1;

    private readonly Arrangement arrangement;
    private readonly CoverRule rule;
    private readonly ActiveEdges active = new();
    private readonly OutgoingLinks outgoing;
    private readonly TrapezoidBuilder? trapezoids;
    private readonly int firstVertex;
    private readonly int endVertex;
    private readonly int[] incomingSlot;

    private readonly BorderBuilder borders = new();
    private int[] bordersIn = new int[16];
    private int[] bordersOut = new int[16];

    // What is carried from one vertex to the next on the same grid line.
    private int line = int.MinValue;
    private bool carries;
    private long carriedBelow;

    /// <summary>Prepares the sweep over the vertices [first, end), both at the start of a grid line.</summary>
    public BandSweep(Arrangement arrangement, CoverRule rule, bool decompose, int firstVertex, int endVertex)
    {
        this.arrangement = arrangement;
        this.rule = rule;
        this.firstVertex = firstVertex;
        this.endVertex = endVertex;
        outgoing = new OutgoingLinks(arrangement);
        trapezoids = decompose ? new TrapezoidBuilder(active) : null;
        incomingSlot = new int[endVertex - firstVertex];
        active.Slots[0].UpperVertex = None;
        active.Slots[0].Border = None;
        active.Slots[0].Trapezoid = None;
    }

    /// <summary>The border edges found.</summary>
    public BorderBuilder Borders => borders;

    /// <summary>The trapezoids found; the first <see cref="TrapezoidStandIns"/> belong to the band below.</summary>
    public Span<OpenTrapezoid> Trapezoids => trapezoids is null ? [] : trapezoids.Span;

    public int TrapezoidStandIns { get; private set; }

    /// <summary>Border edges that reach into the band above, from left to right.</summary>
    public List<int> BordersLeft { get; } = [];

    /// <summary>Trapezoids that reach into the band above, from left to right.</summary>
    public List<int> TrapezoidsLeft { get; } = [];

    public void Run(CancellationToken cancellation)
    {
        const int VerticesPerCheck = 1 << 16;
        Enter();
        for (int v = firstVertex; v < endVertex; v++)
        {
            if (v % VerticesPerCheck == 0)
            {
                cancellation.ThrowIfCancellationRequested();
            }

            Visit(v);
        }

        Leave();
    }

    /// <summary>Puts the links from below in place.</summary>
    private void Enter()
    {
        int slot = 0;
        int lastBorder = 0;
        long winding = 0;
        foreach (EnteringLink link in EnteringLink.Collect(arrangement, firstVertex))
        {
            slot = active.InsertAfter(slot);
            ActiveEdge[] slots = active.Slots;
            ref ActiveEdge edge = ref slots[slot];
            edge.LowerX = link.Lower.X;
            edge.LowerY = link.Lower.Y;
            edge.UpperX = link.Upper.X;
            edge.UpperY = link.Upper.Y;
            edge.UpperVertex = link.UpperVertex;
            edge.WindingLeft = winding;
            winding += link.Weight;
            edge.WindingRight = winding;
            edge.Border = None;
            edge.Trapezoid = None;
            Expect(link.UpperVertex, slot);

            bool covered = rule.Covers(new Winding(edge.WindingRight));
            if (covered != rule.Covers(new Winding(edge.WindingLeft)))
            {
                edge.Border = borders.AddStandIn(in edge, runsUp: !covered);
                edge.PreviousBorder = lastBorder;
                edge.NextBorder = 0;
                slots[lastBorder].NextBorder = slot;
                slots[0].PreviousBorder = slot;
                lastBorder = slot;
                if (covered && trapezoids is not null)
                {
                    edge.Trapezoid = trapezoids.AddStandIn();
                    TrapezoidStandIns++;
                }
            }
        }
    }

    private void Leave()
    {
        ActiveEdge[] slots = active.Slots;
        for (int slot = slots[0].NextBorder; slot != 0; slot = slots[slot].NextBorder)
        {
            BordersLeft.Add(slots[slot].Border);
            if (slots[slot].Trapezoid != None)
            {
                TrapezoidsLeft.Add(slots[slot].Trapezoid);
            }
        }
    }

    private void Expect(int upperVertex, int slot)
    {
        if (upperVertex < endVertex)
        {
            incomingSlot[upperVertex - firstVertex] = slot;
        }
    }

    // Its two first steps are inlined: calls for every vertex would cost some per cent of a fracture.
    private void Visit(int vertex)
    {
        outgoing.Gather(vertex);
        int firstIn = incomingSlot[vertex - firstVertex];
        if (firstIn == 0 && outgoing.Count == 0)
        {
            return;
        }

        int x = arrangement.X(vertex), y = arrangement.Y(vertex);
        if (y != line)
        {
            line = y;
            carries = false;
        }

        int left = FindEnding(vertex, x, y, ref firstIn, out int lastIn);
        ActiveEdge[] slots = active.Slots;
        long aboveLeft = slots[left].WindingRight;
        long belowLeft = firstIn != 0 ? slots[firstIn].WindingLeft : carries ? carriedBelow : aboveLeft;
        long belowRight = firstIn != 0 ? slots[lastIn].WindingRight : belowLeft;

        // Which links lie on the border, below and above.
        int insideIn = ListBordersIn(slots, firstIn, lastIn);
        int insideOut = ListBordersOut(aboveLeft, out long aboveRight, out bool covered, out int soleOut);
        bool coveredBelow = aboveRight == belowRight ? covered : rule.Covers(new Winding(belowRight));
        bool horizontalRight = coveredBelow != covered;
        carries = aboveRight != belowRight;
        carriedBelow = belowRight;

        bool bends = true;
        int leftBorder = 0;
        bool onBorder = insideIn + insideOut > 0;
        Debug.Assert(onBorder || borders.HasOpenHorizontal == horizontalRight, "A horizontal border edge ends at other border edges only.");
        if (onBorder)
        {
            leftBorder = insideIn > 0 ? slots[bordersIn[0]].PreviousBorder : FindBorder(slots, left);
            bends = !(insideIn == 1 && insideOut == 1 && !borders.HasOpenHorizontal && !horizontalRight
                && slots[bordersIn[0]].Side(outgoing.UpperX(soleOut), outgoing.UpperY(soleOut)) == 0);
            if (bends)
            {
                trapezoids?.Close(leftBorder, bordersIn.AsSpan(0, insideIn), y);
                borders.Start(x, y, outgoing, bordersOut);
                borders.LinkAround(slots, bordersIn.AsSpan(0, insideIn), bordersOut.AsSpan(0, outgoing.Count), x, y, horizontalRight, covered);
            }
            else
            {
                int border = slots[bordersIn[0]].Border;
                bordersOut[soleOut] = border;
                borders.Extend(border, outgoing.UpperX(soleOut), outgoing.UpperY(soleOut));
            }
        }

        int passedTrapezoid = None;
        for (int i = 0; i < insideIn; i++)
        {
            ref ActiveEdge edge = ref slots[bordersIn[i]];
            passedTrapezoid = edge.Trapezoid;
            slots[edge.PreviousBorder].NextBorder = edge.NextBorder;
            slots[edge.NextBorder].PreviousBorder = edge.PreviousBorder;
        }

        ReplaceLinks(left, firstIn, lastIn, x, y, aboveLeft, leftBorder);
        if (bends)
        {
            if (onBorder)
            {
                trapezoids?.Open(leftBorder, insideOut, y, rule);
            }
        }
        else
        {
            active.Slots[active.Slots[leftBorder].NextBorder].Trapezoid = passedTrapezoid;
        }
    }

    /// <summary>The links that end at a vertex, from the left, and the slot to the left of them or of the vertex.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private int FindEnding(int vertex, int x, int y, ref int firstIn, out int lastIn)
    {
        lastIn = firstIn;
        if (firstIn == 0)
        {
            return active.FindLeft(x, y);
        }

        ActiveEdge[] slots = active.Slots;
        while (slots[slots[firstIn].Previous].UpperVertex == vertex)
        {
            firstIn = slots[firstIn].Previous;
        }

        while (slots[slots[lastIn].Next].UpperVertex == vertex)
        {
            lastIn = slots[lastIn].Next;
        }

        return slots[firstIn].Previous;
    }

    private int ListBordersIn(ActiveEdge[] slots, int firstIn, int lastIn)
    {
        if (firstIn == 0)
        {
            return 0;
        }

        int count = 0;
        for (int slot = firstIn; ; slot = slots[slot].Next)
        {
            if (slots[slot].Border != None)
            {
                if (count == bordersIn.Length)
                {
                    Array.Resize(ref bordersIn, count * 2);
                }

                bordersIn[count++] = slot;
            }

            if (slot == lastIn)
            {
                return count;
            }
        }
    }

    /// <summary>
    /// Marks the links that start upward on the border in <see cref="bordersOut"/>: provisionally with 1 where the covered side is on the
    /// left, else 0, until the border edge exists.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private int ListBordersOut(long aboveLeft, out long aboveRight, out bool covered, out int sole)
    {
        if (bordersOut.Length < outgoing.Count)
        {
            Array.Resize(ref bordersOut, outgoing.Count * 2);
        }

        aboveRight = aboveLeft;
        covered = rule.Covers(new Winding(aboveLeft));
        sole = None;
        int count = 0;
        for (int i = 0; i < outgoing.Count; i++)
        {
            aboveRight += outgoing.Weight(i);
            bool next = rule.Covers(new Winding(aboveRight));
            bordersOut[i] = None;
            if (next != covered)
            {
                bordersOut[i] = covered ? 1 : 0;
                covered = next;
                sole = i;
                count++;
            }
        }

        return count;
    }

    private static int FindBorder(ActiveEdge[] slots, int slot)
    {
        while (slot != 0 && slots[slot].Border == None)
        {
            slot = slots[slot].Previous;
        }

        return slot;
    }

    /// <summary>Replaces the links that end at a vertex by those that start there, reusing their slots.</summary>
    private void ReplaceLinks(int left, int firstIn, int lastIn, int x, int y, long winding, int leftBorder)
    {
        int previous = left;
        int reuse = firstIn;
        for (int i = 0; i < outgoing.Count; i++)
        {
            int slot;
            if (reuse != 0)
            {
                slot = reuse;
                reuse = slot == lastIn ? 0 : active.Slots[slot].Next;
            }
            else
            {
                slot = active.InsertAfter(previous);
            }

            ActiveEdge[] slots = active.Slots;
            ref ActiveEdge edge = ref slots[slot];
            int upper = outgoing.Upper(i);
            edge.LowerX = x;
            edge.LowerY = y;
            edge.UpperX = outgoing.UpperX(i);
            edge.UpperY = outgoing.UpperY(i);
            edge.UpperVertex = upper;
            edge.WindingLeft = winding;
            winding += outgoing.Weight(i);
            edge.WindingRight = winding;
            edge.Border = bordersOut[i];
            edge.Trapezoid = None;
            Expect(upper, slot);
            if (edge.Border != None)
            {
                int after = slots[leftBorder].NextBorder;
                edge.PreviousBorder = leftBorder;
                edge.NextBorder = after;
                slots[leftBorder].NextBorder = slot;
                slots[after].PreviousBorder = slot;
                leftBorder = slot;
            }

            previous = slot;
        }

        while (reuse != 0)
        {
            int slot = reuse;
            reuse = slot == lastIn ? 0 : active.Slots[slot].Next;
            active.Remove(slot);
        }
    }
}
