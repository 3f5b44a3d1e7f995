namespace PatternCompiler.Geometry.Curves;

/// <summary>Gives the chords of a curve the directions by which the sides of a stroke turn with it.</summary>
internal static class StrokeTurns
{
    /// <summary>Corners and steps of a course, with steps on the spot where it turns more sharply than its chords can show.</summary>
    /// <param name="course">The middle line.</param>
    /// <param name="half">Half the width.</param>
    /// <param name="chordError">Error of the chords.</param>
    public static (IReadOnlyList<PlanePoint> Corners, IReadOnlyList<StrokeCourse.Step> Steps) Of(StrokeCourse course, double half, double chordError)
    {
        var corners = new List<PlanePoint>(course.Points.Count) { course.Points[0] };
        var steps = new List<StrokeCourse.Step>(course.Steps.Count);
        for (int i = 0; i < course.Steps.Count; i++)
        {
            StrokeCourse.Step step = course.Steps[i];
            PlanePoint end = course.Points[i + 1];
            if (step.ContinuesCurve)
            {
                StrokeCourse.Step before = steps[^1];
                double longer = Math.Max((corners[^1] - corners[^2]).Length, (end - corners[^1]).Length);
                if (Between(before.Chord, step.Chord, longer, half, chordError) is PlanePoint middle)
                {
                    steps[^1] = before with { Arriving = middle };
                    step = step with { Leaving = middle };
                }
                else
                {
                    steps.Add(new(before.Arriving, before.Arriving, step.Leaving, ContinuesCurve: true));
                    corners.Add(corners[^1]);
                }
            }

            steps.Add(step);
            corners.Add(end);
        }

        return (corners, steps);
    }

    // The direction halfway between two chords is the curve's, if turning along them as an arc does would keep them within
    // the chord error (an arc of the length l and the angle t strays by l·t / 8), or if the difference is too small to matter
    // at the sides.
    private static PlanePoint? Between(PlanePoint before, PlanePoint after, double longer, double half, double chordError)
    {
        PlanePoint sum = before + after;
        double turn = Math.Abs(Trigonometry.Atan2((before.X * after.Y) - (before.Y * after.X), (before.X * after.X) + (before.Y * after.Y)));
        return turn < Math.PI / 2 && (longer * turn / 8 <= chordError || half * (1 - (sum.Length / 2)) <= chordError)
            ? (1 / sum.Length) * sum
            : null;
    }
}
