namespace PatternCompiler.Geometry.Curves;

/// <summary>
/// Outlines a line or curve with width by rings that wind counter-clockwise everywhere (holes of closed paths excepted), so
/// that they cover the path under the nonzero rule, however it turns or crosses itself. Ends are square to the course's own
/// direction, and corners lie between the directions that meet there; where a curve is only chords, the outline turns with
/// the curve.
/// </summary>
internal sealed class PathOutline
{
    private readonly IReadOnlyList<PlanePoint> corners;
    private readonly IReadOnlyList<StrokeCourse.Step> steps;
    private readonly double half;
    private readonly StrokeStyle style;
    private readonly double chordError;
    private readonly bool isClosed;

    private PathOutline(StrokeCourse course, StrokeStyle style, double chordError)
    {
        half = style.Width / 2;
        this.style = style;
        this.chordError = chordError;
        isClosed = course.IsClosed;
        (corners, steps) = StrokeTurns.Of(course, half, chordError);
    }

    /// <summary>The rings of a polyline, not rounded. One that ends where it starts is joined there too.</summary>
    /// <param name="points">Corners of the path, one or more.</param>
    /// <param name="style">Width, ends and joins.</param>
    /// <param name="chordError">Largest distance allowed between a round end or join and its chords, above zero.</param>
    public static List<List<PlanePoint>> Of(ReadOnlySpan<PlanePoint> points, StrokeStyle style, double chordError) =>
        Of(StrokeCourse.Polyline(points), style, chordError);

    /// <summary>The rings of a course of lines and curves, not rounded.</summary>
    /// <param name="course">The middle line.</param>
    /// <param name="style">Width, ends and joins.</param>
    /// <param name="chordError">
    /// Largest distance allowed between a round end or join, or the side of a curve, and its chords, above zero; the error
    /// of the course's own chords comes on top.
    /// </param>
    public static List<List<PlanePoint>> Of(StrokeCourse course, StrokeStyle style, double chordError)
    {
        var outline = new PathOutline(course, style, chordError);
        return outline.steps.Count == 0 ? outline.Spot() : outline.IsRibbon() ? outline.Ribbon() : outline.Pieces();
    }

    private int JoinCount => isClosed ? steps.Count : steps.Count - 1;

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

    /// <summary>True if the inner sides of all turns and joins fit into their segments: then one outline serves.</summary>
    private bool IsRibbon()
    {
        var left = new double[steps.Count];
        var right = new double[steps.Count];
        for (int join = 0; join < JoinCount; join++)
        {
            int next = (join + 1) % steps.Count;
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

        for (int i = 0; i < steps.Count; i++)
        {
            // A side that turns by an angle gains or loses half the width times that angle.
            StrokeCourse.Step step = steps[i];
            double turn = TurnWithin(i);
            double length = (corners[i + 1] - corners[i]).Length;
            double along = turn == 0 ? length : length * Math.Min(Dot(step.Leaving, step.Chord), Dot(step.Arriving, step.Chord));
            if (left[i] > along - Math.Max(0, half * turn) || right[i] > along - Math.Max(0, -half * turn))
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
            AddSides(0, right, left);
        }

        for (int join = 0; join < JoinCount; join++)
        {
            AddJoin(join, right, left);
            AddSides((join + 1) % steps.Count, right, left);
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

    /// <summary>One ring for each segment, one wedge for each join; they overlap where the path is tight.</summary>
    private List<List<PlanePoint>> Pieces()
    {
        var rings = new List<List<PlanePoint>>();
        for (int i = 0; i < steps.Count; i++)
        {
            if (Pivot(i) is PlanePoint pivot)
            {
                AddFans(i, pivot, rings);
            }
            else
            {
                rings.Add(Piece(i));
            }
        }

        for (int join = 0; join < JoinCount; join++)
        {
            AddWedge(join, rings);
        }

        return rings;
    }

    private List<PlanePoint> Piece(int i)
    {
        var ring = new List<PlanePoint>();
        var left = new List<PlanePoint>();
        if (i == 0 && !isClosed)
        {
            AddStart(ring, left);
        }
        else
        {
            // The corner itself is part of the outline, so that rounding leaves no gap to its wedge.
            PlanePoint side = half * Normal(steps[i].Leaving);
            left.AddRange([corners[i], corners[i] + side]);
            ring.Add(corners[i] - side);
        }

        AddSides(i, ring, left);
        if (i == steps.Count - 1 && !isClosed)
        {
            AddEnd(ring);
        }
        else
        {
            PlanePoint side = half * Normal(steps[i].Arriving);
            ring.AddRange([corners[i + 1] - side, corners[i + 1], corners[i + 1] + side]);
        }

        left.Reverse();
        ring.AddRange(left);
        return ring;
    }

    /// <summary>Where the two ends of a segment cross: it turns about a point within half the width. Null if they do not.</summary>
    private PlanePoint? Pivot(int i)
    {
        PlanePoint from = Normal(steps[i].Leaving);
        PlanePoint to = Normal(steps[i].Arriving);
        double cross = Cross(from, to);
        if (cross == 0)
        {
            return null;
        }

        PlanePoint chord = corners[i + 1] - corners[i];
        double onStart = Cross(chord, to) / cross;
        double onEnd = Cross(chord, from) / cross;
        return Math.Abs(onStart) < half && Math.Abs(onEnd) < half ? corners[i] + (onStart * from) : null;
    }

    /// <summary>A segment that turns about a point within its width covers what its two halves sweep on either side of the point.</summary>
    private void AddFans(int i, PlanePoint pivot, List<List<PlanePoint>> rings)
    {
        PlanePoint from = half * Normal(steps[i].Leaving);
        PlanePoint to = half * Normal(steps[i].Arriving);
        List<PlanePoint> right = [corners[i] - from];
        List<PlanePoint> left = [corners[i] + from];
        AddSides(i, right, left);
        right.AddRange([corners[i + 1] - to, pivot]);
        left.AddRange([corners[i + 1] + to, pivot]);

        // Both halves turn the same way.
        if (TurnWithin(i) < 0)
        {
            right.Reverse();
            left.Reverse();
        }

        rings.AddRange([right, left]);
        if (i == 0 && !isClosed && style.End != StrokeEnd.Flat)
        {
            var cap = new List<PlanePoint>();
            var rest = new List<PlanePoint>();
            AddStart(cap, rest);
            cap.AddRange([corners[0] - from, corners[0] + from, .. rest]);
            rings.Add(cap);
        }

        if (i == steps.Count - 1 && !isClosed && style.End != StrokeEnd.Flat)
        {
            List<PlanePoint> cap = [corners[^1] + to, corners[^1] - to];
            AddEnd(cap);
            rings.Add(cap);
        }
    }

    /// <summary>Adds the points between the two ends of a segment whose direction turns on the way.</summary>
    private void AddSides(int i, List<PlanePoint> right, List<PlanePoint> left)
    {
        double turn = TurnWithin(i);
        int count = turn == 0 ? 1 : ArcFlattening.SegmentCount(half, turn, chordError);
        for (int k = 1; k < count; k++)
        {
            (double sin, double cos) = Trigonometry.SinCos(turn * k / count);
            PlanePoint normal = Normal(steps[i].Leaving);
            PlanePoint side = half * ((cos * normal) + (sin * Normal(normal)));
            PlanePoint middle = corners[i] + ((double)k / count * (corners[i + 1] - corners[i]));
            right.Add(middle - side);
            left.Add(middle + side);
        }
    }

    private void AddWedge(int join, List<List<PlanePoint>> rings)
    {
        (double cross, double onePlusDot) = Turn(join);
        if (cross == 0 && (onePlusDot > 1 || style.Join != StrokeJoin.Round))
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
            wedge.Insert(0, corner + (side * Normal(steps[join].Arriving)));
            wedge.Add(corner + (side * Normal(steps[(join + 1) % steps.Count].Leaving)));
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
        PlanePoint before = Normal(steps[join].Arriving);
        PlanePoint after = Normal(steps[(join + 1) % steps.Count].Leaving);
        (double cross, double onePlusDot) = Turn(join);

        // The mitre is 1 / cos(turn / 2) half widths long: its square is 2 / (1 + dot).
        bool isMitred = (cross == 0 && onePlusDot > 1) || (style.Join == StrokeJoin.Mitre && onePlusDot * style.MitreLimit * style.MitreLimit >= 2);
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
        PlanePoint direction = steps[0].Leaving;
        PlanePoint start = style.End == StrokeEnd.Square ? corners[0] - (half * direction) : corners[0];
        PlanePoint side = half * Normal(direction);
        if (style.End == StrokeEnd.Round)
        {
            var arc = new List<PlanePoint>();
            ArcFlattening.AppendArc(arc, start, -half * direction, -1 * side, -Math.PI / 2, Math.PI, chordError);
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
        PlanePoint direction = steps[^1].Arriving;
        PlanePoint last = style.End == StrokeEnd.Square ? corners[^1] + (half * direction) : corners[^1];
        PlanePoint side = half * Normal(direction);
        right.Add(last - side);
        if (style.End == StrokeEnd.Round)
        {
            var arc = new List<PlanePoint>();
            ArcFlattening.AppendArc(arc, last, half * direction, side, -Math.PI / 2, Math.PI, chordError);
            right.AddRange(arc[1..^1]);
        }

        right.Add(last + side);
    }

    private PlanePoint Corner(int join) => corners[join + 1];

    private static PlanePoint Normal(PlanePoint direction) => new(-direction.Y, direction.X);

    private static double Dot(PlanePoint a, PlanePoint b) => (a.X * b.X) + (a.Y * b.Y);

    private static double Cross(PlanePoint a, PlanePoint b) => (a.X * b.Y) - (a.Y * b.X);

    /// <summary>Sine of the turn at a join, and one plus its cosine.</summary>
    private (double Cross, double OnePlusDot) Turn(int join)
    {
        PlanePoint a = steps[join].Arriving;
        PlanePoint b = steps[(join + 1) % steps.Count].Leaving;
        return (Cross(a, b), 1 + Dot(a, b));
    }

    /// <summary>Angle in radians by which the course turns along a segment; to the left is positive.</summary>
    private double TurnWithin(int i)
    {
        StrokeCourse.Step step = steps[i];
        return step.Leaving == step.Arriving ? 0 : Angle(step.Leaving, step.Arriving);
    }

    private static double Angle(PlanePoint from, PlanePoint to) => Trigonometry.Atan2(Cross(from, to), Dot(from, to));
}
