namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Collects trapezoids while the sweep goes on: one is open to the right of every border edge that has the covered side
/// there, until that edge or the next border edge changes. They are numbered as they are opened: by bottom, then from
/// left to right.
/// </summary>
internal sealed class TrapezoidBuilder(ActiveEdges active)
{
    private const int None = -1;

    private GrowingArray<OpenTrapezoid> trapezoids = new(256);

    /// <summary>
    /// Ends the trapezoids that meet a vertex: that right of <paramref name="leftBorder"/> and those right of the border
    /// edges that end there.
    /// </summary>
    public void Close(int leftBorder, ReadOnlySpan<int> bordersIn, int y)
    {
        Close(leftBorder, y);
        foreach (int slot in bordersIn)
        {
            Close(slot, y);
        }
    }

    /// <summary>Begins those above the vertex, whose border edges follow <paramref name="leftBorder"/>.</summary>
    public void Open(int leftBorder, int count, int y, CoverRule rule)
    {
        ActiveEdge[] slots = active.Slots;
        int slot = leftBorder;
        for (int i = 0; i <= count; i++)
        {
            if (slot != 0 && slots[slot].Trapezoid == None && rule.Covers(new Winding(slots[slot].WindingRight)))
            {
                slots[slot].Trapezoid = trapezoids.Count;
                trapezoids.Add(new OpenTrapezoid(y));
            }

            slot = slots[slot].NextBorder;
        }
    }

    /// <summary>All trapezoids begun so far.</summary>
    public Span<OpenTrapezoid> Span => trapezoids.Span;

    /// <summary>Stands for a trapezoid that comes from below.</summary>
    public int AddStandIn()
    {
        trapezoids.Add(new OpenTrapezoid(int.MinValue));
        return trapezoids.Count - 1;
    }

    private void Close(int slot, int y)
    {
        ActiveEdge[] slots = active.Slots;
        int open = slots[slot].Trapezoid;
        if (open != None && trapezoids.Items[open].YBottom < y)
        {
            ref OpenTrapezoid t = ref trapezoids.Items[open];
            t.YTop = y;
            t.Left = slots[slot].Border;
            t.Right = slots[slots[slot].NextBorder].Border;
            slots[slot].Trapezoid = None;
        }
    }
}

/// <summary>A trapezoid whose sides are indices of border edges.</summary>
internal struct OpenTrapezoid(int bottom)
{
    private const int Open = int.MinValue;

    public int YBottom = bottom;
    public int YTop = Open;
    public int Left;
    public int Right;

    public readonly bool IsClosed => YTop != Open;

    public readonly Trapezoid Resolve(ReadOnlySpan<BorderEdge> borders) => new(YBottom, YTop, borders[Left].Edge, borders[Right].Edge);
}
