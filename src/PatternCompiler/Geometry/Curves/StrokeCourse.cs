namespace PatternCompiler.Geometry.Curves;

/// <summary>
/// The middle line of a stroke: lines and curves, the curves as chords, and the true direction of each curve at its two
/// ends, which its chords do not have. Ends and corners of an outline follow the true directions.
/// </summary>
internal sealed class StrokeCourse
{
    private readonly List<PlanePoint> points = [];
    private readonly List<Step> steps = [];

    /// <summary>A course that starts at a point.</summary>
    public StrokeCourse(PlanePoint start)
    {
        points.Add(start);
    }

    /// <summary>The corners of the course, each distinct from the one before.</summary>
    public IReadOnlyList<PlanePoint> Points => points;

    /// <summary>The way from each point to the next.</summary>
    public IReadOnlyList<Step> Steps => steps;

    /// <summary>True if the last point, which is the first again, is a corner like any other, not two ends.</summary>
    public bool IsClosed { get; private set; }

    /// <summary>A polyline; one with three lines or more that comes back to its start is closed.</summary>
    public static StrokeCourse Polyline(ReadOnlySpan<PlanePoint> corners)
    {
        var course = new StrokeCourse(corners[0]);
        foreach (PlanePoint corner in corners[1..])
        {
            course.LineTo(corner);
        }

        course.IsClosed = course.steps.Count > 2 && course.points[0] == course.points[^1];
        return course;
    }

    /// <summary>Goes on straight.</summary>
    public void LineTo(PlanePoint end)
    {
        if (Direction(end - points[^1]) is PlanePoint direction)
        {
            points.Add(end);
            steps.Add(new(direction, direction, direction, ContinuesCurve: false));
        }
    }

    /// <summary>Goes on along a curve.</summary>
    /// <param name="chords">Points of the curve after its start, the last one its end.</param>
    /// <param name="startTangent">Direction at its start, of any length; zero if it has none: then the first chord's is taken.</param>
    /// <param name="endTangent">Direction at its end, of any length; zero if it has none: then the last chord's is taken.</param>
    public void CurveTo(ReadOnlySpan<PlanePoint> chords, PlanePoint startTangent, PlanePoint endTangent)
    {
        int first = steps.Count;
        foreach (PlanePoint point in chords)
        {
            if (Direction(point - points[^1]) is PlanePoint direction)
            {
                points.Add(point);
                steps.Add(new(direction, direction, direction, ContinuesCurve: steps.Count > first));
            }
        }

        if (steps.Count > first)
        {
            steps[first] = steps[first] with { Leaving = Direction(startTangent) ?? steps[first].Chord };
            steps[^1] = steps[^1] with { Arriving = Direction(endTangent) ?? steps[^1].Chord };
        }
    }

    /// <summary>Goes straight back to the start, and joins the end to it.</summary>
    public void Close()
    {
        LineTo(points[0]);
        IsClosed = steps.Count > 0;
    }

    private static PlanePoint? Direction(PlanePoint vector) => vector.Length is > 0 and double length ? (1 / length) * vector : null;

    /// <summary>The way from one point to the next. All directions have the length 1.</summary>
    /// <param name="Chord">Direction of the straight way.</param>
    /// <param name="Leaving">Direction of the course itself at its start.</param>
    /// <param name="Arriving">Direction of the course itself at its end.</param>
    /// <param name="ContinuesCurve">True if it goes on along the curve of the step before: no corner is between them.</param>
    public readonly record struct Step(PlanePoint Chord, PlanePoint Leaving, PlanePoint Arriving, bool ContinuesCurve);
}
