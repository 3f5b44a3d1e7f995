using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Geometry.Recurrence;

/// <summary>
/// Brings the items of all copies of all parts in order of their places: by y, then by x. The items of a part are in
/// order already, and items of different copies are at least a grid step apart. Copies are taken in groups that share no
/// height, such as the rows of an array; what occurs once is cut up between the groups.
/// </summary>
internal sealed class CopyOrder
{
    private readonly GridPoint[][] places;
    private readonly List<MovedCopy[]> groups = [];

    private CopyOrder(GridPoint[][] places)
    {
        this.places = places;
    }

    /// <summary>Groups of copies, from the lowest up. Together the copies of a group are in order of their lowest places.</summary>
    public IReadOnlyList<MovedCopy[]> Groups => groups;

    /// <summary>Finds the order.</summary>
    /// <param name="places">The places of the items of each part, ascending.</param>
    /// <param name="copies">Where the parts occur; the first part does once, unmoved.</param>
    public static CopyOrder Find(GridPoint[][] places, ReadOnlySpan<MovedCopy> copies)
    {
        var order = new CopyOrder(places);
        var moved = new List<MovedCopy>(copies.Length);
        foreach (MovedCopy copy in copies)
        {
            if (copy.Part > 0 && places[copy.Part].Length > 0)
            {
                moved.Add(copy with { Count = places[copy.Part].Length });
            }
        }

        moved.Sort((a, b) => order.Compare(a, b));
        order.Group(moved);
        return order;
    }

    /// <summary>Gives the items of a group in order, each as a copy of one item.</summary>
    public void ForEach<TVisitor>(int group, RadixSort sort, ref TVisitor visitor)
        where TVisitor : struct, ICopyVisitor
    {
        MovedCopy[] copies = groups[group];
        if (copies.Length == 1)
        {
            MovedCopy copy = copies[0];
            for (int i = copy.First; i < copy.First + copy.Count; i++)
            {
                visitor.Visit(copy, i);
            }

            return;
        }

        int total = 0;
        int minX = int.MaxValue, minY = int.MaxValue;
        foreach (MovedCopy copy in copies)
        {
            total += copy.Count;
            foreach (GridPoint place in places[copy.Part].AsSpan(copy.First, copy.Count))
            {
                minX = Math.Min(minX, place.X + copy.Dx);
                minY = Math.Min(minY, place.Y + copy.Dy);
            }
        }

        ulong[] keys = GC.AllocateUninitializedArray<ulong>(total);
        (int Copy, int Item)[] items = GC.AllocateUninitializedArray<(int, int)>(total);
        total = 0;
        for (int c = 0; c < copies.Length; c++)
        {
            MovedCopy copy = copies[c];
            for (int i = copy.First; i < copy.First + copy.Count; i++)
            {
                GridPoint place = copy.Move(places[copy.Part][i]);
                keys[total] = ((ulong)(uint)(place.Y - minY) << 32) | (uint)(place.X - minX);
                items[total++] = (c, i);
            }
        }

        foreach (int index in sort.Order(keys))
        {
            visitor.Visit(copies[items[index].Copy], items[index].Item);
        }
    }

    private GridPoint PlaceOf(in MovedCopy copy, int item) => copy.Move(places[copy.Part][item]);

    private int Compare(in MovedCopy a, in MovedCopy b)
    {
        GridPoint placeA = PlaceOf(a, a.First), placeB = PlaceOf(b, b.First);
        return placeA.Y != placeB.Y ? placeA.Y.CompareTo(placeB.Y) : placeA.X.CompareTo(placeB.X);
    }

    private void Group(List<MovedCopy> moved)
    {
        var group = new List<MovedCopy>();
        int single = 0;
        for (int i = 0; i < moved.Count;)
        {
            int bottom = PlaceOf(moved[i], 0).Y;
            long top = bottom;
            single = AddSingles(single, bottom, group);
            Finish(group);
            for (; i < moved.Count && PlaceOf(moved[i], 0).Y <= top; i++)
            {
                group.Add(moved[i]);
                top = Math.Max(top, PlaceOf(moved[i], moved[i].Count - 1).Y);
            }

            single = AddSingles(single, top + 1, group);
            Finish(group);
        }

        AddSingles(single, long.MaxValue, group);
        Finish(group);
    }

    /// <summary>Adds what occurs once, from an item up to a height.</summary>
    private int AddSingles(int first, long endY, List<MovedCopy> group)
    {
        GridPoint[] singles = places[0];
        int low = first, high = singles.Length;
        while (low < high)
        {
            int middle = (low + high) >>> 1;
            if (singles[middle].Y < endY)
            {
                low = middle + 1;
            }
            else
            {
                high = middle;
            }
        }

        if (low > first)
        {
            group.Add(new MovedCopy(0, 0, 0, first, low - first));
        }

        return low;
    }

    private void Finish(List<MovedCopy> group)
    {
        if (group.Count > 0)
        {
            groups.Add([.. group]);
            group.Clear();
        }
    }
}

/// <summary>Receives the items of copies one by one.</summary>
internal interface ICopyVisitor
{
    void Visit(in MovedCopy copy, int item);
}

/// <summary>Items of one part of a region, moved.</summary>
/// <param name="Part">Which part.</param>
/// <param name="Dx">Grid steps to the right.</param>
/// <param name="Dy">Grid steps upward.</param>
/// <param name="First">The first of the part's items.</param>
/// <param name="Count">How many follow each other from there.</param>
internal readonly record struct MovedCopy(int Part, int Dx, int Dy, int First, int Count)
{
    public GridPoint Move(GridPoint point) => new(point.X + Dx, point.Y + Dy);

    public GridEdge Move(GridEdge edge) => new(Move(edge.Lower), Move(edge.Upper));
}
