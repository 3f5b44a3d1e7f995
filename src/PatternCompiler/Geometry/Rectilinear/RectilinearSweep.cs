using System.Diagnostics;
using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Geometry.Rectilinear;

/// <summary>
/// The sweep for rings of horizontal and vertical edges only: no rounding, and vertical edges need not be looked at, since
/// every horizontal edge adds to the winding numbers between its ends and what remains between the lines follows. The
/// work grows with the input and the output, not with the number of crossings.
/// </summary>
internal sealed class RectilinearSweep
{
    private const int None = -1;

    private readonly int[] xs;
    private readonly bool wantOutlines;

    // The border edges that the sweep line crosses, by rank of their x coordinate.
    private readonly IndexSet walls;
    private readonly int[] wallBorder;
    private readonly int[] wallTrapezoid;
    private readonly bool[] wallCoversRight;

    // For outlines the edges around the region; for pieces only how far the upright ones reach, of which there may be millions.
    private GrowingArray<BorderEdge> borders;
    private GrowingArray<Side> sides;
    private GrowingArray<OpenTrapezoid> trapezoids;
    private int junctions;

    private RectilinearSweep(LevelEdges edges, bool wantOutlines)
    {
        // Disjoint rectangles need two walls and one trapezoid for two edges.
        borders = new GrowingArray<BorderEdge>(wantOutlines ? edges.Edges.Length + 16 : 0);
        sides = new GrowingArray<Side>(wantOutlines ? 0 : edges.Edges.Length + 16);
        trapezoids = new GrowingArray<OpenTrapezoid>(wantOutlines ? 0 : (edges.Edges.Length / 2) + 16);
        xs = edges.Xs;
        this.wantOutlines = wantOutlines;
        walls = new IndexSet(xs.Length + 1);
        wallBorder = new int[xs.Length];
        wallTrapezoid = new int[xs.Length];
        wallCoversRight = new bool[xs.Length];
    }

    /// <summary>Finds the outlines of the covered region.</summary>
    public static ContourSet Outlines(LevelEdges edges, FillRule rule, int initial)
    {
        var sweep = new RectilinearSweep(edges, wantOutlines: true);
        sweep.Run(edges.Edges, rule, initial);
        return OutlineTracer.Trace(sweep.borders.Span, sweep.junctions);
    }

    /// <summary>Cuts the covered region into rectangles.</summary>
    public static Trapezoid[] Decompose(LevelEdges edges, FillRule rule, int initial)
    {
        var sweep = new RectilinearSweep(edges, wantOutlines: false);
        sweep.Run(edges.Edges, rule, initial);
        return Resolve(sweep.trapezoids.Span, sweep.sides.Span);
    }

    private static Trapezoid[] Resolve(ReadOnlySpan<OpenTrapezoid> trapezoids, ReadOnlySpan<Side> sides)
    {
        Trapezoid[] result = GC.AllocateUninitializedArray<Trapezoid>(trapezoids.Length);
        for (int i = 0; i < result.Length; i++)
        {
            OpenTrapezoid piece = trapezoids[i];
            result[i] = new(piece.YBottom, piece.YTop, sides[piece.Left].Edge, sides[piece.Right].Edge);
        }

        return result;
    }

    private void Run(ReadOnlySpan<LevelEdge> edges, FillRule rule, int initial)
    {
        switch (rule)
        {
            case FillRule.NonZero:
                Run<NonZeroRule>(edges, initial);
                break;
            case FillRule.EvenOdd:
                Run<EvenOddRule>(edges, initial);
                break;
            default:
                Run<PositiveRule>(edges, initial);
                break;
        }
    }

    private void Run<TRule>(ReadOnlySpan<LevelEdge> edges, int initial)
        where TRule : struct, IWindingRule
    {
        var line = new WindingLine<TRule>(xs.Length, initial);
        var netting = new LevelNetting();
        for (int start = 0; start < edges.Length;)
        {
            int y = edges[start].Y;
            int end = start + 1;
            bool disjoint = true;
            for (; end < edges.Length && edges[end].Y == y; end++)
            {
                disjoint &= edges[end].Left >= edges[end - 1].Right;
            }

            ReadOnlySpan<LevelEdge> level = edges[start..end];
            line.Clear();
            foreach (LevelEdge edge in disjoint ? level : netting.Net(level))
            {
                line.Add(edge.Left, edge.Right, edge.Weight);
            }

            Advance(y, line.Changes);
            start = end;
        }
    }

    /// <summary>Moves the sweep line across a grid line on which the cover changes.</summary>
    private void Advance(int y, ReadOnlySpan<CoverChange> changes)
    {
        int openHorizontal = None;
        for (int i = 0; i < changes.Length; i++)
        {
            CoverChange change = changes[i];
            bool joinsPrevious = i > 0 && changes[i - 1].End == change.First;
            bool joinsNext = i + 1 < changes.Length && changes[i + 1].First == change.End;
            openHorizontal = Turn(change.First, y, openHorizontal, starts: true, change.IsCoveredAbove, touches: joinsPrevious);
            if (!joinsNext)
            {
                openHorizontal = Turn(change.End, y, openHorizontal, starts: false, change.IsCoveredAbove, touches: false);
            }
        }
    }

    /// <summary>
    /// Deals with the end of a horizontal border edge, or with the point where one ends and the next begins. Returns the
    /// edge that goes on to the right.
    /// </summary>
    private int Turn(int at, int y, int horizontalLeft, bool starts, bool coveredAbove, bool touches)
    {
        bool wallBelow = walls.Contains(at);
        bool wallAbove = wallBelow == touches;
        bool coveredRight = starts || wallBelow ? coveredAbove : !coveredAbove;
        int left = walls.Before(at);

        Close(left, y);
        int below = None;
        if (wallBelow)
        {
            Close(at, y);
            below = wallBorder[at];
            EndWall(below, y);
        }

        int above = None;
        if (wallAbove)
        {
            above = StartWall(xs[at], y, runsUp: !coveredRight);
            wallBorder[at] = above;
            wallCoversRight[at] = coveredRight;
            wallTrapezoid[at] = None;
            walls.Add(at);
        }
        else if (wallBelow)
        {
            walls.Remove(at);
        }

        Open(left, y);
        if (wallAbove)
        {
            Open(at, y);
        }

        int horizontalRight = None;
        if (wantOutlines)
        {
            if (horizontalLeft != None)
            {
                borders.Items[horizontalLeft].UpperX = xs[at];
            }

            if (starts)
            {
                horizontalRight = AddBorder(xs[at], y, runsUp: coveredAbove);
            }

            Join(horizontalRight, above, horizontalLeft, below, coveredRight);
        }

        return horizontalRight;
    }

    private int StartWall(int x, int y, bool runsUp)
    {
        if (wantOutlines)
        {
            return AddBorder(x, y, runsUp);
        }

        sides.Add(new(new(x, y)));
        return sides.Count - 1;
    }

    private void EndWall(int wall, int y)
    {
        if (wantOutlines)
        {
            borders.Items[wall].UpperY = y;
        }
        else
        {
            sides.Items[wall].UpperY = y;
        }
    }

    private int AddBorder(int x, int y, bool runsUp)
    {
        borders.Add(new BorderEdge { LowerX = x, LowerY = y, UpperX = x, UpperY = y, RunsUp = runsUp, Junction = None });
        return borders.Count - 1;
    }

    /// <summary>
    /// Joins the edges around a point, given counter-clockwise from the right: the edge that ends a covered sector
    /// is followed by the one that begins it.
    /// </summary>
    private void Join(int right, int above, int left, int below, bool coveredAboveRight)
    {
        Span<int> around = stackalloc int[4];
        int count = 0;
        Put(right, around, ref count);
        Put(above, around, ref count);
        Put(left, around, ref count);
        Put(below, around, ref count);
        Debug.Assert(count is 2 or 4, "Border edges meet in pairs.");

        bool coveredAfterFirst = right != None ? coveredAboveRight : !coveredAboveRight;
        int junction = count > 2 ? junctions++ : None;
        for (int i = coveredAfterFirst ? 0 : 1; i < count; i += 2)
        {
            int begins = around[i];
            int ends = around[(i + 1) % count];
            borders.Items[ends].Follower = begins;
            borders.Items[begins].Junction = junction;
        }

        static void Put(int edge, Span<int> around, ref int count)
        {
            if (edge != None)
            {
                around[count++] = edge;
            }
        }
    }

    private void Close(int wall, int y)
    {
        if (wall < 0 || wallTrapezoid[wall] == None || !wallCoversRight[wall])
        {
            return;
        }

        ref OpenTrapezoid open = ref trapezoids.Items[wallTrapezoid[wall]];
        if (open.YBottom < y)
        {
            open.YTop = y;
            open.Left = wallBorder[wall];
            open.Right = wallBorder[walls.After(wall)];
            wallTrapezoid[wall] = None;
        }
    }

    private void Open(int wall, int y)
    {
        if (!wantOutlines && wall >= 0 && wallCoversRight[wall] && wallTrapezoid[wall] == None)
        {
            wallTrapezoid[wall] = trapezoids.Count;
            trapezoids.Add(new OpenTrapezoid(y));
        }
    }

    /// <summary>An upright border edge.</summary>
    private struct Side(GridPoint lower)
    {
        public int UpperY;

        public readonly GridEdge Edge => new(lower, new(lower.X, UpperY));
    }
}
