using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>
/// Joins loose lines, arcs and open polylines end to end. Ends within the gap of each other meet in a node. The joiner walks
/// from piece to piece through the nodes, loose ends first; whenever the walk comes back to a node it has passed, the loop
/// is cut off as a closed outline. So every outline passes each node once, and a figure of eight becomes two outlines.
/// The result depends on the drawing order alone.
/// </summary>
internal sealed class ChainJoiner
{
    private readonly IReadOnlyList<ChainPiece> pieces;
    private readonly ChainNodes nodes;
    private readonly int gap;
    private readonly int[] startNodes;
    private readonly int[] endNodes;
    private readonly bool[] used;
    private readonly List<int>[] pieceLists;
    private readonly int[] unusedCounts;
    private readonly int[] firstUnused;
    private readonly ChainResult result = new();

    private ChainJoiner(IReadOnlyList<ChainPiece> pieces, int gap)
    {
        this.pieces = pieces;
        this.gap = gap;
        nodes = new(gap);
        startNodes = new int[pieces.Count];
        endNodes = new int[pieces.Count];
        used = new bool[pieces.Count];
        for (int i = 0; i < pieces.Count; i++)
        {
            startNodes[i] = nodes.FindOrAdd(pieces[i].Points[0]);
            endNodes[i] = nodes.FindOrAdd(pieces[i].Points[^1]);
        }

        pieceLists = new List<int>[nodes.Count];
        unusedCounts = new int[nodes.Count];
        firstUnused = new int[nodes.Count];
        DropRedundant();
        for (int i = 0; i < pieces.Count; i++)
        {
            if (!used[i])
            {
                (pieceLists[startNodes[i]] ??= []).Add(i);
                (pieceLists[endNodes[i]] ??= []).Add(i);
                unusedCounts[startNodes[i]]++;
                unusedCounts[endNodes[i]]++;
            }
        }
    }

    /// <summary>Joins pieces.</summary>
    /// <param name="pieces">Pieces in drawing order.</param>
    /// <param name="gap">Largest gap that is closed, in grid steps.</param>
    /// <param name="nearMiss">Largest distance of two loose ends that is worth a message, in grid steps.</param>
    public static ChainResult Join(IReadOnlyList<ChainPiece> pieces, int gap, int nearMiss)
    {
        var joiner = new ChainJoiner(pieces, gap);
        joiner.WalkAll();
        joiner.FindNearMisses(nearMiss);
        return joiner.result;
    }

    private void DropRedundant()
    {
        var lines = new HashSet<(int, int)>();
        var curves = new HashSet<GridPoint[]>(SamePointsComparer.Instance);
        for (int i = 0; i < pieces.Count; i++)
        {
            (int a, int b) = (Math.Min(startNodes[i], endNodes[i]), Math.Max(startNodes[i], endNodes[i]));
            bool straight = pieces[i].Points.Length == 2;
            bool redundant = straight ? a == b || !lines.Add((a, b)) : !curves.Add(pieces[i].Points);
            if (redundant)
            {
                used[i] = true;
                result.CountRedundant(pieces[i].Origin);
            }
        }
    }

    private void WalkAll()
    {
        for (int node = 0; node < nodes.Count; node++)
        {
            if (pieceLists[node] is { Count: > 2 } list && (list.Count & 1) == 1)
            {
                result.AddBranch(nodes[node], pieces[list[^1]].Origin);
            }
        }

        // Walks that must end somewhere start where they can only end; what is left afterwards closes.
        for (int i = 0; i < pieces.Count; i++)
        {
            if (!used[i] && (unusedCounts[startNodes[i]] & 1) == 1)
            {
                Walk(startNodes[i], i);
            }
            else if (!used[i] && (unusedCounts[endNodes[i]] & 1) == 1)
            {
                Walk(endNodes[i], i);
            }
        }

        for (int i = 0; i < pieces.Count; i++)
        {
            if (!used[i])
            {
                Walk(startNodes[i], i);
            }
        }
    }

    private void Walk(int startNode, int firstPiece)
    {
        var path = new List<(int Piece, bool Reversed)>();
        var passed = new List<int> { startNode };
        var positions = new Dictionary<int, int> { [startNode] = 0 };
        int node = startNode;
        int piece = firstPiece;
        while (piece >= 0)
        {
            used[piece] = true;
            unusedCounts[startNodes[piece]]--;
            unusedCounts[endNodes[piece]]--;
            bool reversed = startNodes[piece] != node;
            node = reversed ? startNodes[piece] : endNodes[piece];
            path.Add((piece, reversed));
            if (positions.TryGetValue(node, out int position))
            {
                CutLoop(path, position);
                for (int i = position + 1; i < passed.Count; i++)
                {
                    positions.Remove(passed[i]);
                }

                passed.RemoveRange(position + 1, passed.Count - position - 1);
            }
            else
            {
                positions.Add(node, path.Count);
                passed.Add(node);
            }

            piece = NextAt(node, piece);
        }

        if (path.Count > 0)
        {
            result.Open.Add(new(Assemble(path, 0, closed: false), pieces[path[0].Piece].Origin, pieces[path[^1].Piece].Origin));
        }
    }

    // The piece drawn next after this one, else the first one unused.
    private int NextAt(int node, int piece)
    {
        List<int> list = pieceLists[node];
        int position = list.BinarySearch(piece);
        for (int i = position < 0 ? ~position : position; i < list.Count; i++)
        {
            if (!used[list[i]])
            {
                return list[i];
            }
        }

        while (firstUnused[node] < list.Count)
        {
            int candidate = list[firstUnused[node]];
            if (!used[candidate])
            {
                return candidate;
            }

            firstUnused[node]++;
        }

        return -1;
    }

    private void CutLoop(List<(int Piece, bool Reversed)> path, int from)
    {
        GridPoint[] ring = Assemble(path, from, closed: true);
        if (ring.Length >= 3)
        {
            result.Closed.Add((ring, pieces[path[from].Piece].Origin));
        }
        else
        {
            result.CountRedundant(pieces[path[from].Piece].Origin);
        }

        path.RemoveRange(from, path.Count - from);
    }

    private GridPoint[] Assemble(List<(int Piece, bool Reversed)> path, int from, bool closed)
    {
        var points = new List<GridPoint>();
        for (int i = from; i < path.Count; i++)
        {
            GridPoint[] next = pieces[path[i].Piece].Points;
            if (path[i].Reversed)
            {
                next = [.. next.Reverse()];
            }

            if (points.Count == 0)
            {
                points.AddRange(next);
                continue;
            }

            if (points[^1] != next[0])
            {
                result.CountGap(points[^1], next[0], pieces[path[i].Piece].Origin);
                if (ChainCorner.TryRestore(points[^2], points[^1], next[0], next[1], gap) is { } corner)
                {
                    points[^1] = corner;
                }
                else
                {
                    points.Add(next[0]);
                }
            }

            points.AddRange(next.AsSpan(1));
        }

        if (closed && points.Count > 1)
        {
            if (points[0] == points[^1])
            {
                points.RemoveAt(points.Count - 1);
            }
            else
            {
                result.CountGap(points[^1], points[0], pieces[path[from].Piece].Origin);
                if (ChainCorner.TryRestore(points[^2], points[^1], points[0], points[1], gap) is { } corner)
                {
                    points[0] = corner;
                    points.RemoveAt(points.Count - 1);
                }
            }
        }

        return [.. points];
    }

    private void FindNearMisses(int reach)
    {
        var ends = new List<(GridPoint Point, EntityOrigin Origin)>();
        foreach (OpenChain chain in result.Open)
        {
            ends.Add((chain.Points[0], chain.Start));
            ends.Add((chain.Points[^1], chain.End));
        }

        // Ends close to an earlier one are not kept: their number within reach of any point stays small.
        var before = new ChainNodes(reach);
        var kept = new List<int>();
        for (int i = 0; i < ends.Count; i++)
        {
            int near = before.Find(ends[i].Point);
            if (near >= 0)
            {
                (GridPoint point, EntityOrigin origin) = ends[kept[near]];
                result.NearMisses.Add(new(point, origin, ends[i].Point, ends[i].Origin));
            }
            else
            {
                before.Add(ends[i].Point);
                kept.Add(i);
            }
        }
    }
}

/// <summary>A line, arc or open polyline that may be part of an outline.</summary>
/// <param name="Points">Its points, two or more.</param>
/// <param name="Origin">Where it came from.</param>
internal readonly record struct ChainPiece(GridPoint[] Points, EntityOrigin Origin);
