using PatternCompiler.Geometry.Curves;
using PatternCompiler.Geometry.Sweep;
using PatternCompiler.Limits;

namespace PatternCompiler.Geometry.Offset;

/// <summary>
/// The closed curves whose positive winding numbers mark the moved area: each runs along the moved edges, around corners
/// by their joins, and where it turns the other way back through the corner itself, so that the rectangle that each edge
/// sweeps is wound around once.
/// </summary>
internal sealed class OffsetCurve(double distance, OffsetShape shape, WorkMeter corners)
{
    /// <summary>One plus the cosine of 11°: a smaller turn belongs to a curve rather than to a corner.</summary>
    private const double StraightFromOnePlusCosine = 1.98;

    private readonly CurveRounding rounding = new();
    private readonly List<PlanePoint> arc = [];
    private readonly List<GridPoint> closed = [];
    private GrowingArray<GridPoint> points = new(256);
    private GrowingArray<int> ends = new(16);
    private OffsetEdge[] edges = new OffsetEdge[16];

    /// <summary>Adds the curve of a closed ring.</summary>
    public void AddRing(ReadOnlySpan<GridPoint> ring)
    {
        if (ring.Length >= 3)
        {
            AddClosed(ring, turnsBack: false, PathCap.Flat);
        }
    }

    /// <summary>Adds the curve of an open path: there and back again.</summary>
    public void AddPath(ReadOnlySpan<GridPoint> path, PathCap cap)
    {
        closed.Clear();
        foreach (GridPoint point in path)
        {
            if (closed.Count == 0 || closed[^1] != point)
            {
                closed.Add(point);
            }
        }

        if (closed.Count == 1)
        {
            AddSpot(closed[0], cap);
            return;
        }

        for (int i = closed.Count - 2; i > 0; i--)
        {
            closed.Add(closed[i]);
        }

        AddClosed(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(closed), turnsBack: true, cap);
    }

    /// <summary>The curves, rounded to the grid.</summary>
    public ContourSet ToContourSet() => new(points.ToArray(), ends.ToArray());

    private void AddClosed(ReadOnlySpan<GridPoint> ring, bool turnsBack, PathCap cap)
    {
        int count = ring.Length;
        if (edges.Length < count)
        {
            edges = new OffsetEdge[count * 2];
        }

        for (int i = 0; i < count; i++)
        {
            edges[i] = OffsetEdge.Between(ring[i], ring[i + 1 == count ? 0 : i + 1], distance);
        }

        FindTrims(count);
        rounding.Restart();
        int last = count / 2;
        int start = MostDiagonalEdge(count);
        for (int k = 0; k < count; k++)
        {
            int i = start + k < count ? start + k : start + k - count;
            int before = i == 0 ? count - 1 : i - 1;
            if (turnsBack && (i == 0 || i == last))
            {
                AddCap(ring[i], edges[before], cap);
            }
            else
            {
                AddCorner(ring[i], edges[before], edges[i]);
            }
        }

        ends.Add(points.Count);
    }

    /// <summary>
    /// At corners turned around on the inside the moved edges are cut back to where they meet, at mitred ones they are
    /// prolonged. Where nothing would be left of an edge, its corners keep the full rectangles.
    /// </summary>
    private void FindTrims(int count)
    {
        for (int i = 0; i < count; i++)
        {
            ref OffsetEdge before = ref edges[i == 0 ? count - 1 : i - 1];
            ref OffsetEdge after = ref edges[i];
            double outside = before.Cross(after) * distance;
            double along = 1 + before.Dot(after);
            after.StartTrim = outside >= 0 && !Meets(along) ? 0 : along < 1e-9 ? double.PositiveInfinity : -outside / along;
            before.EndTrim = after.StartTrim;
        }

        for (int i = 0; i < count; i++)
        {
            ref OffsetEdge edge = ref edges[i];
            if (edge.StartTrim + edge.EndTrim > edge.Length)
            {
                edge.StartsFull = edge.EndsFull = true;
                edges[i == 0 ? count - 1 : i - 1].EndsFull = true;
                edges[i + 1 == count ? 0 : i + 1].StartsFull = true;
            }
        }
    }

    /// <summary>
    /// The edge nearest to a diagonal. The curve starts there, because what rounding has gained or lost on the way can be
    /// compensated within a few points, which near a horizontal or vertical tangent it cannot.
    /// </summary>
    private int MostDiagonalEdge(int count)
    {
        int best = 0;
        double most = 0;
        for (int i = 0; i < count; i++)
        {
            double across = Math.Abs(edges[i].Direction.X * edges[i].Direction.Y);
            if (across > most)
            {
                most = across;
                best = i;
            }
        }

        return best;
    }

    private void AddCorner(GridPoint corner, in OffsetEdge before, in OffsetEdge after)
    {
        PlanePoint at = PlanePoint.From(corner);
        double cross = before.Cross(after);
        double onePlusDot = 1 + before.Dot(after);
        if (cross * distance < 0)
        {
            if (before.EndsFull || after.StartsFull)
            {
                Add(at + before.Shift);
                Add(at);
                Add(at + after.Shift);
            }
            else
            {
                AddMeeting(at, before, after, onePlusDot);
            }

            return;
        }

        if (Meets(onePlusDot))
        {
            AddMeeting(at, before, after, onePlusDot);
        }
        else if (shape.Join == OffsetJoin.Round)
        {
            AddArc(at, before.Shift, cross, onePlusDot - 1);
        }
        else
        {
            AddSquare(at, before, after, cross, onePlusDot);
        }
    }

    /// <summary>
    /// Whether the moved edges are prolonged until they meet at a corner turned around on the outside: always where the
    /// turn is that of a curve and the point of meeting no further out than a chord may be, else as the join says. Half
    /// the square of the mitre's length, in distances, is 1 / (1 + cosine of the turn).
    /// </summary>
    private bool Meets(double onePlusDot) =>
        (onePlusDot >= StraightFromOnePlusCosine && Math.Abs(distance) * ((2 / onePlusDot) - 1) <= 2 * shape.ChordError)
        || (shape.Join == OffsetJoin.Mitre && onePlusDot * shape.MitreLimit * shape.MitreLimit >= 2);

    /// <summary>Adds the point where two moved edges meet.</summary>
    private void AddMeeting(PlanePoint at, in OffsetEdge before, in OffsetEdge after, double onePlusDot)
    {
        PlanePoint point = at + ((1 / onePlusDot) * (before.Shift + after.Shift));
        if (onePlusDot < StraightFromOnePlusCosine)
        {
            Add(point);
        }
        else
        {
            points.Add(rounding.Round(Checked(point), before, after));
        }
    }

    /// <summary>Cuts across at the distance: from each moved edge it is the distance times the tangent of a quarter of the turn.</summary>
    private void AddSquare(PlanePoint at, in OffsetEdge before, in OffsetEdge after, double cross, double onePlusDot)
    {
        double reach = Math.Abs(distance);
        if (onePlusDot < 1e-9)
        {
            Add(at + before.Shift + (reach * before.Direction));
            Add(at + after.Shift - (reach * after.Direction));
            return;
        }

        double half = Math.Abs(cross) / onePlusDot;
        double quarter = half / (1 + Math.Sqrt(1 + (half * half)));
        Add(at + before.Shift + (reach * quarter * before.Direction));
        Add(at + after.Shift - (reach * quarter * after.Direction));
    }

    private void AddArc(PlanePoint centre, PlanePoint from, double cross, double dot)
    {
        double sweep = Trigonometry.Atan2(Math.Abs(cross), dot);
        AddArc(centre, from, distance > 0 ? sweep : -sweep);
    }

    private void AddArc(PlanePoint centre, PlanePoint from, double sweep)
    {
        // Known before it is made: a corner may ask for any number of points.
        corners.Add(ArcFlattening.SegmentCount(distance, sweep, shape.ChordError));
        arc.Clear();
        ArcFlattening.AppendArc(arc, centre, from, new PlanePoint(-from.Y, from.X), 0, sweep, shape.ChordError);
        foreach (PlanePoint point in arc)
        {
            Add(point);
        }
    }

    private void AddCap(GridPoint end, in OffsetEdge arriving, PathCap cap)
    {
        PlanePoint at = PlanePoint.From(end);
        switch (cap)
        {
            case PathCap.Round:
                AddArc(at, arriving.Shift, Math.PI);
                break;
            case PathCap.Square:
                PlanePoint beyond = at + (distance * arriving.Direction);
                Add(beyond + arriving.Shift);
                Add(beyond - arriving.Shift);
                break;
            default:
                Add(at + arriving.Shift);
                Add(at - arriving.Shift);
                break;
        }
    }

    /// <summary>A path of one place: only ends that reach beyond it cover anything.</summary>
    private void AddSpot(GridPoint point, PathCap cap)
    {
        PlanePoint at = PlanePoint.From(point);
        switch (cap)
        {
            case PathCap.Round:
                AddArc(at, new PlanePoint(distance, 0), 2 * Math.PI);
                break;
            case PathCap.Square:
                Add(at + new PlanePoint(-distance, -distance));
                Add(at + new PlanePoint(distance, -distance));
                Add(at + new PlanePoint(distance, distance));
                Add(at + new PlanePoint(-distance, distance));
                break;
            default:
                return;
        }

        ends.Add(points.Count);
    }

    private void Add(PlanePoint point) => points.Add(Checked(point).ToGrid());

    private static PlanePoint Checked(PlanePoint point) => point.FitsGrid
        ? point
        : throw new ArgumentOutOfRangeException(nameof(point), "The offset leaves the coordinate range.");
}

/// <summary>Shape of the outline about the end of an open path.</summary>
internal enum PathCap
{
    /// <summary>Cut square at the end point.</summary>
    Flat,

    /// <summary>Extended by the distance.</summary>
    Square,

    /// <summary>A half circle about the end point.</summary>
    Round,
}
