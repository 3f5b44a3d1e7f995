namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// The upward links of one vertex from left to right, those with the same upper end added up and those that cancel left
/// out.
/// </summary>
internal sealed class OutgoingLinks(Arrangement arrangement)
{
    private Link[] links = new Link[16];

    /// <summary>Number of links.</summary>
    public int Count { get; private set; }

    public int Upper(int index) => links[index].Upper;

    public int UpperX(int index) => links[index].X;

    public int UpperY(int index) => links[index].Y;

    /// <summary>What crossing the link from left to right adds to the packed winding numbers.</summary>
    public long Weight(int index) => links[index].Weight;

    public void Gather(int vertex)
    {
        int start = arrangement.LinkStarts[vertex];
        int end = arrangement.LinkStarts[vertex + 1];
        if (links.Length < end - start)
        {
            links = new Link[Math.Max(end - start, links.Length * 2)];
        }

        int count = 0;
        for (int i = start; i < end; i++)
        {
            int upper = arrangement.LinkUppers[i];
            if (upper >= 0)
            {
                long weight = arrangement.Edges[arrangement.LinkEdges[i]].Weight.Packed;
                links[count++] = new Link(upper, arrangement.X(upper), arrangement.Y(upper), weight);
            }
        }

        Count = count;
        if (count > 1)
        {
            Sort(new Direction(arrangement.X(vertex), arrangement.Y(vertex)));
            AddUp();
        }
    }

    private void Sort(Direction direction)
    {
        const int SmallCount = 16;
        if (Count > SmallCount)
        {
            links.AsSpan(0, Count).Sort(direction);
            return;
        }

        for (int i = 1; i < Count; i++)
        {
            Link link = links[i];
            int j = i - 1;
            for (; j >= 0 && direction.Compare(links[j], link) > 0; j--)
            {
                links[j + 1] = links[j];
            }

            links[j + 1] = link;
        }
    }

    private void AddUp()
    {
        int kept = 0;
        for (int i = 0; i < Count;)
        {
            Link link = links[i];
            long weight = 0;
            for (; i < Count && links[i].Upper == link.Upper; i++)
            {
                weight += links[i].Weight;
            }

            if (weight != 0)
            {
                links[kept++] = link with { Weight = weight };
            }
        }

        Count = kept;
    }

    private readonly record struct Link(int Upper, int X, int Y, long Weight);

    /// <summary>Orders links by direction from a common lower end, left first.</summary>
    private readonly struct Direction(int x, int y) : IComparer<Link>
    {
        public int Compare(Link a, Link b) =>
            ((((long)a.X - x) * ((long)b.Y - y)) - (((long)a.Y - y) * ((long)b.X - x))).CompareTo(0);
    }
}
