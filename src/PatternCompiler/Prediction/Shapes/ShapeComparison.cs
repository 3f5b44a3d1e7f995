using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>One comparison: what meets what, and from that what is missing, joined or parted.</summary>
internal sealed class ShapeComparison
{
    private readonly ShapeRows rows;
    private readonly CancellationToken cancellation;
    private readonly RegionMeetings meetings = new();
    private readonly PartFinder missing;
    private readonly PartFinder excess;
    private readonly HashSet<int> islands;
    private readonly HashSet<int> lost;

    public ShapeComparison(ShapeRows rows, double reach, CancellationToken cancellation)
    {
        (this.rows, this.cancellation) = (rows, cancellation);
        missing = new PartFinder(isMissing: true, reach);
        excess = new PartFinder(isMissing: false, reach);
        rows.Run(
            (row, stretches) =>
            {
                missing.Add(row, stretches);
                excess.Add(row, stretches);
                foreach (ref readonly RowStretch stretch in System.Runtime.InteropServices.CollectionsMarshal.AsSpan(stretches))
                {
                    meetings.Add(stretch);
                }
            },
            cancellation);
        missing.Finish();
        excess.Finish();
        islands = [.. Unmet(isArea: true, isPrinted: true)];
        lost = [.. Unmet(isArea: true, isPrinted: false)];
    }

    /// <summary>All faults, extents in grid steps.</summary>
    public IEnumerable<(ShapeFaultKind Kind, SampleWindow Box)> Faults()
    {
        List<(ShapeFaultKind Kind, SampleWindow Box)> told =
        [
            .. islands.Select(ring => (ShapeFaultKind.Island, BoxOf(rows.Printed, ring))),
            .. lost.Select(ring => (ShapeFaultKind.Lost, BoxOf(rows.Drawn, ring))),
            .. Unmet(isArea: false, isPrinted: true).Select(ring => (ShapeFaultKind.Hole, BoxOf(rows.Printed, ring))),
            .. Unmet(isArea: false, isPrinted: false).Select(ring => (ShapeFaultKind.FilledHole, BoxOf(rows.Drawn, ring))),
        ];
        told.AddRange(Joins().Select(join => (join.Kind, Whole(join.Box))));

        // What is lost, open or a hole is missing as well, and what is an island or a short in excess; it is told once.
        told.AddRange(Parts(ShapeFaultKind.MissingPart, missing, lost, told));
        told.AddRange(Parts(ShapeFaultKind.ExcessPart, excess, islands, told));
        return told;
    }

    private IEnumerable<(ShapeFaultKind Kind, SampleWindow Box)> Parts(
        ShapeFaultKind kind, PartFinder finder, HashSet<int> whole, List<(ShapeFaultKind Kind, SampleWindow Box)> told)
    {
        ShapeFaultKind[] twins = kind == ShapeFaultKind.MissingPart
            ? [ShapeFaultKind.Open, ShapeFaultKind.Cut, ShapeFaultKind.Hole]
            : [ShapeFaultKind.Shorted, ShapeFaultKind.Bridge, ShapeFaultKind.FilledHole];
        SampleWindow[] known = [.. told.Where(fault => twins.Contains(fault.Kind)).Select(fault => fault.Box.Widened(2 * rows.Step))];
        List<SampleWindow> stretches = [.. finder.Found.Where(found => !whole.Contains(found.Carrier)).Select(found => found.Box)];
        return [.. WindowClusters.Of(stretches, rows.Step).Where(part => !known.Any(box => box.Meets(part.Window))).Select(part => (kind, Whole(part.Window)))];
    }

    // A row stands for the area half a step below and above it.
    private SampleWindow Whole(SampleWindow box) => box with { Bottom = box.Bottom - rows.Step / 2.0, Top = box.Top + rows.Step / 2.0 };

    private static SampleWindow BoxOf(RegionRows rows, int ring)
    {
        GridBox box = GridBox.Around(rows.Rings[ring]);
        return new SampleWindow(box.XLeft, box.YBottom, box.XRight, box.YTop);
    }

    /// <summary>Rings of regions that share no area with a region of their sort in the other pattern.</summary>
    private IEnumerable<int> Unmet(bool isArea, bool isPrinted)
    {
        bool[] isOuter = (isPrinted ? rows.Printed : rows.Drawn).IsOuter;
        var met = new HashSet<int>(meetings.Pairs(isArea).Select(pair => isPrinted ? pair.Printed : pair.Drawn));
        return Enumerable.Range(0, isOuter.Length).Where(ring => isOuter[ring] == isArea && !met.Contains(ring));
    }

    private List<(ShapeFaultKind Kind, SampleWindow Box)> Joins()
    {
        var searches = new List<(JoinRole Role, JoinFinder Finder, Dictionary<int, HashSet<int>> Carriers)>();
        foreach (JoinRole role in JoinRole.All)
        {
            IReadOnlyDictionary<int, int> joinable = role.IsByPrinted && HasJoins(role, new Dictionary<int, int>()) ? TouchingDrawn(role.IsArea) : new Dictionary<int, int>();
            Dictionary<int, HashSet<int>> carriers = Carriers(role, joinable);
            if (carriers.Count > 0)
            {
                searches.Add((role, new JoinFinder(role, carriers.Keys.ToHashSet(), joinable, IsLeftOut(role), rows.Step), carriers));
            }
        }

        var found = new List<(ShapeFaultKind Kind, SampleWindow Box)>();
        if (searches.Count == 0)
        {
            return found;
        }

        rows.Run((row, stretches) => searches.ForEach(search => search.Finder.Add(row, stretches)), cancellation);
        foreach ((JoinRole role, JoinFinder finder, Dictionary<int, HashSet<int>> carriers) in searches)
        {
            List<SampleWindow> places = finder.Places();
            if (role.IsArea)
            {
                places.AddRange(finder.Unplaced.Order().Select(carrier => SmallestOf(role, carriers[carrier])));
            }

            // A bridge that is a short, too, and a cut that is an open are told once.
            ShapeFaultKind twin = role.Kind == ShapeFaultKind.Bridge ? ShapeFaultKind.Shorted : role.Kind == ShapeFaultKind.Cut ? ShapeFaultKind.Open : role.Kind;
            SampleWindow[] told = twin == role.Kind ? [] : [.. found.Where(fault => fault.Kind == twin).Select(fault => fault.Box.Widened(2 * rows.Step))];
            found.AddRange(places.Where(place => !told.Any(box => box.Meets(place))).Select(place => (role.Kind, place)));
        }

        return found;
    }

    private SampleWindow SmallestOf(JoinRole role, HashSet<int> joined)
    {
        RegionRows other = role.IsByPrinted ? rows.Drawn : rows.Printed;
        return joined.Order().Select(ring => BoxOf(other, ring)).MinBy(box => (box.Right - box.Left) * (box.Top - box.Bottom));
    }

    private bool HasJoins(JoinRole role, IReadOnlyDictionary<int, int> joinable) => Carriers(role, joinable).Count > 0;

    /// <summary>Carriers that meet several regions, with these.</summary>
    private Dictionary<int, HashSet<int>> Carriers(JoinRole role, IReadOnlyDictionary<int, int> joinable)
    {
        var met = new Dictionary<int, HashSet<int>>();
        foreach ((int printed, int drawn) in meetings.Pairs(role.IsArea))
        {
            (int carrier, int other) = role.IsByPrinted ? (printed, drawn) : (drawn, printed);
            if (!met.TryGetValue(carrier, out HashSet<int>? others))
            {
                others = [];
                met.Add(carrier, others);
            }

            others.Add(joinable.GetValueOrDefault(other, other));
        }

        return met.Where(pair => pair.Value.Count > 1).ToDictionary();
    }

    // A ring that prints nowhere is lost, not cut; what prints beside the pattern is an island, not a bridge.
    private Func<RowStretch, bool> IsLeftOut(JoinRole role) => role.Kind switch
    {
        ShapeFaultKind.Cut => stretch => stretch.Drawn.IsArea && lost.Contains(stretch.Drawn.Ring),
        ShapeFaultKind.Bridge => stretch => stretch.Printed.IsArea && islands.Contains(stretch.Printed.Ring),
        _ => _ => false,
    };

    /// <summary>Drawn regions that touch in a point, by ring: they may print as one.</summary>
    private Dictionary<int, int> TouchingDrawn(bool isArea)
    {
        RegionRows drawn = rows.Drawn;
        var sets = new DisjointSets(drawn.Rings.Count + 1);
        var known = new Dictionary<GridPoint, int>();
        for (int ring = 0; ring < drawn.Rings.Count; ring++)
        {
            Region region = drawn.IsOuter[ring] == isArea ? drawn.Inside(ring) : drawn.Around(ring);
            foreach (GridPoint point in drawn.Rings[ring])
            {
                if (!known.TryAdd(point, region.Ring))
                {
                    sets.Join(known[point] + 1, region.Ring + 1);
                }
            }
        }

        return Enumerable.Range(-1, drawn.Rings.Count + 1).Where(ring => sets.Of(ring + 1) != ring + 1).ToDictionary(ring => ring, ring => sets.Of(ring + 1) - 1);
    }
}
