namespace PatternCompiler.Geometry.Curves;

/// <summary>
/// Outlines a polyline with width by rings that wind counter-clockwise everywhere (holes of closed paths excepted), so that
/// they cover the path under the nonzero rule, however it turns or crosses itself. A path that ends where it starts is
/// joined there too.
/// </summary>
public sealed class PathOutline
{

    private readonly List<PlanePoint> corners = [];
    private readonly List<PlanePoint> directions = [];
    private readonly double half;
    private readonly StrokeStyle style;
    private readonly double chordError;
    private readonly bool isClosed;

    private PathOutline(ReadOnlySpan<PlanePoint> points, StrokeStyle style, double chordError)
    {
        half = style.Width / 2;
        this.style = style;
        this.chordError = chordError;
        foreach (PlanePoint corner in points)
        {
            if (corners.Count == 0 || corners[^1] != corner)
            {
                corners.Add(corner);
            }
        }

        isClosed = corners.Count > 3 && corners[0] == corners[^1];
        for (int i = 0; i + 1 < corners.Count; i++)
        {
            PlanePoint step = corners[i + 1] - corners[i];
            directions.Add((1 / step.Length) * step);
        }
    }

    /// <summary>The rings of a path, not rounded.</summary>
    /// <param name="points">Corners of the path, one or more.</param>
    /// <param name="style">Width, ends and joins.</param>
    /// <param name="chordError">Largest distance allowed between a round end or join and its chords, above zero.</param>
    public static List<List<PlanePoint>> Of(ReadOnlySpan<PlanePoint> points, StrokeStyle style, double chordError)
    {
        var outline = new PathOutline(points, style, chordError);
        return outline.directions.Count == 0 ? outline.Spot() : outline.IsRibbon() ? outline.Ribbon() : outline.Pieces();
    }

    private int JoinCount => isClosed ? directions.Count : directions.Count - 1;

    /// <summary>A path of one place: only ends that reach beyond it cover anything.</summary>
    private List<List<PlanePoint>> Spot()
    {
        PlanePoint right = new(half, 0);
        PlanePoint up = new(0, half);
        var ring = new List<PlanePoint>();
        switch (style.End)
        {
            case StrokeEnd.Round:
                ArcFlattening.AppendArc(ring, corners[0], right, up, 0, 2 * Math.PI, chordError);
                ring.RemoveAt(ring.Count - 1);
                break;
            case StrokeEnd.Square:
                PlanePoint low = corners[0] - right - up;
                PlanePoint high = corners[0] + right + up;
                ring.AddRange([low, new(high.X, low.Y), high, new(low.X, high.Y)]);
                break;
            default:
                return [];
        }

        return [ring];
    }

    /// <summary>True if the inner sides of all joins fit into their segments: then one outline serves.</summary>
    private bool IsRibbon()
    {
        var left = new double[directions.Count];
        var right = new double[directions.Count];
        for (int join = 0; join < JoinCount; join++)
        {
            int next = (join + 1) % directions.Count;
            (double cross, double onePlusDot) = Turn(join);
            if (onePlusDot < 1e-6)
            {
                return false;
            }

            double trim = half * Math.Abs(cross) / onePlusDot;
            double[] inner = cross > 0 ? left : right;
            inner[join] += trim;
            inner[next] += trim;
        }

        for (int i = 0; i < directions.Count; i++)
        {
            double length = (corners[i + 1] - corners[i]).Length;
            if (left[i] > length || right[i] > length)
            {
                return false;
            }
        }

        return true;
    }

    private List<List<PlanePoint>> Ribbon()
    {
        var right = new List<PlanePoint>();
        var left = new List<PlanePoint>();
        if (!isClosed)
        {
            AddStart(right, left);
        }

        for (int join = 0; join < JoinCount; join++)
        {
            AddJoin(join, right, left);
        }

        left.Reverse();
        if (isClosed)
        {
            return [right, left];
        }

        AddEnd(right);
        right.AddRange(left);
        return [right];
    }

    /// <summary>One rectangle for each segment, one wedge for each join; they overlap where the path is tight.</summary>
    private List<List<PlanePoint>> Pieces()
    {
        var rings = new List<List<PlanePoint>>();
        for (int i = 0; i < directions.Count; i++)
        {
            var ring = new List<PlanePoint>();
            var left = new List<PlanePoint>();
            PlanePoint side = half * Normal(i);
            if (i == 0 && !isClosed)
            {
                AddStart(ring, left);
            }
            else
            {
                // The corner itself is part of the outline, so that rounding leaves no gap to its wedge.
                left.AddRange([corners[i], corners[i] + side]);
                ring.Add(corners[i] - side);
            }

            if (i == directions.Count - 1 && !isClosed)
            {
                AddEnd(ring);
            }
            else
            {
                ring.AddRange([corners[i + 1] - side, corners[i + 1], corners[i + 1] + side]);
            }

            left.Reverse();
            ring.AddRange(left);
            rings.Add(ring);
        }

        for (int join = 0; join < JoinCount; join++)
        {
            AddWedge(join, rings);
        }

        return rings;
    }

    private void AddWedge(int join, List<List<PlanePoint>> rings)
    {
        (double cross, _) = Turn(join);
        if (cross == 0 && style.Join != StrokeJoin.Round)
        {
            return;
        }

        var outer = new List<PlanePoint>();
        var inner = new List<PlanePoint>();
        AddJoin(join, outer, inner);
        List<PlanePoint> wedge = cross >= 0 ? outer : inner;
        if (wedge.Count == 1)
        {
            double side = cross >= 0 ? -half : half;
            PlanePoint corner = Corner(join);
            wedge.Insert(0, corner + (side * Normal(join)));
            wedge.Add(corner + (side * Normal((join + 1) % directions.Count)));
        }

        wedge.Add(Corner(join));
        if (cross < 0)
        {
            wedge.Reverse();
        }

        rings.Add(wedge);
    }

    /// <summary>Adds the outline points of a join on both sides: the mitre, or on the outer side a cut or an arc.</summary>
    private void AddJoin(int join, List<PlanePoint> right, List<PlanePoint> left)
    {
        PlanePoint corner = Corner(join);
        PlanePoint before = Normal(join);
        PlanePoint after = Normal((join + 1) % directions.Count);
        (double cross, double onePlusDot) = Turn(join);

        // The mitre is 1 / cos(turn / 2) half widths long: its square is 2 / (1 + dot).
        bool isMitred = style.Join == StrokeJoin.Mitre && onePlusDot * style.MitreLimit * style.MitreLimit >= 2;
        PlanePoint mitre = onePlusDot < 1e-6 ? default : (half / onePlusDot) * (before + after);
        if (isMitred || cross < 0)
        {
            right.Add(corner - mitre);
        }
        else
        {
            AddTurn(right, corner, -half * before, -half * after);
        }

        if (isMitred || cross >= 0)
        {
            left.Add(corner + mitre);
        }
        else
        {
            AddTurn(left, corner, half * before, half * after);
        }
    }

    /// <summary>Adds the outer side of a corner that has no mitre: two points, and an arc between them if joins are round.</summary>
    private void AddTurn(List<PlanePoint> side, PlanePoint corner, PlanePoint from, PlanePoint to)
    {
        if (style.Join != StrokeJoin.Round)
        {
            side.Add(corner + from);
            side.Add(corner + to);
            return;
        }

        double cross = (from.X * to.Y) - (from.Y * to.X);
        double sweep = Trigonometry.Atan2(cross, (from.X * to.X) + (from.Y * to.Y));
        ArcFlattening.AppendArc(side, corner, from, new(-from.Y, from.X), 0, sweep, chordError);
    }

    // Points run counter-clockwise: along the right side, around the end, back along the left side, around the start.
    private void AddStart(List<PlanePoint> right, List<PlanePoint> left)
    {
        PlanePoint start = style.End == StrokeEnd.Square ? corners[0] - (half * directions[0]) : corners[0];
        PlanePoint side = half * Normal(0);
        if (style.End == StrokeEnd.Round)
        {
            var arc = new List<PlanePoint>();
            ArcFlattening.AppendArc(arc, start, -half * directions[0], -1 * side, -Math.PI / 2, Math.PI, chordError);
            right.Add(start - side);
            left.Add(start + side);
            for (int i = 1; i + 1 < arc.Count; i++)
            {
                right.Insert(right.Count - 1, arc[i]);
            }
        }
        else
        {
            right.Add(start - side);
            left.Add(start + side);
        }
    }

    private void AddEnd(List<PlanePoint> right)
    {
        PlanePoint last = style.End == StrokeEnd.Square ? corners[^1] + (half * directions[^1]) : corners[^1];
        PlanePoint side = half * Normal(directions.Count - 1);
        right.Add(last - side);
        if (style.End == StrokeEnd.Round)
        {
            var arc = new List<PlanePoint>();
            ArcFlattening.AppendArc(arc, last, half * directions[^1], side, -Math.PI / 2, Math.PI, chordError);
            right.AddRange(arc[1..^1]);
        }

        right.Add(last + side);
    }

    private PlanePoint Corner(int join) => corners[join + 1];

    private PlanePoint Normal(int segment) => new(-directions[segment].Y, directions[segment].X);

    /// <summary>Sine of the turn at a join, and one plus its cosine.</summary>
    private (double Cross, double OnePlusDot) Turn(int join)
    {
        PlanePoint a = directions[join];
        PlanePoint b = directions[(join + 1) % directions.Count];
        return ((a.X * b.Y) - (a.Y * b.X), 1 + (a.X * b.X) + (a.Y * b.Y));
    }
}
