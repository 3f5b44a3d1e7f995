namespace PatternCompiler.Geometry.Curves;

/// <summary>
/// Turns Bézier curves of any degree, also rational ones, into chords. A curve with positive weights lies within the convex
/// hull of its control points; it is halved until no control point is further from the chord than the error allows, so the
/// error bound holds without any assumption about the curve.
/// </summary>
internal static class BezierFlattening
{
    // Each halving quarters the error of a smooth curve; a curve that fits the grid needs far fewer.
    private const int MostHalvings = 40;

    /// <summary>Appends the points after the first one, the last one included.</summary>
    /// <param name="points">Receives the points.</param>
    /// <param name="control">Control points, degree + 1 of them; all weights positive. Overwritten.</param>
    /// <param name="chordError">Largest distance allowed between curve and chord.</param>
    public static void Append(ICollection<PlanePoint> points, RationalPoint[] control, double chordError)
    {
        if (!(chordError > 0))
        {
            throw new ArgumentOutOfRangeException(nameof(chordError), chordError, "A chord error is above zero.");
        }

        var pending = new Stack<(RationalPoint[] Control, int Halvings)>();
        pending.Push((control, 0));
        while (pending.TryPop(out (RationalPoint[] Control, int Halvings) part))
        {
            if (part.Halvings == MostHalvings || IsFlat(part.Control, chordError))
            {
                points.Add(part.Control[^1].Point);
                continue;
            }

            var left = new RationalPoint[part.Control.Length];
            SplitInTwo(part.Control, left);
            pending.Push((part.Control, part.Halvings + 1));
            pending.Push((left, part.Halvings + 1));
        }
    }

    private static bool IsFlat(RationalPoint[] control, double chordError)
    {
        PlanePoint start = control[0].Point;
        PlanePoint chord = control[^1].Point - start;
        double squared = (chord.X * chord.X) + (chord.Y * chord.Y);
        for (int i = 1; i < control.Length - 1; i++)
        {
            PlanePoint offset = control[i].Point - start;
            double along = squared > 0 ? Math.Clamp(((offset.X * chord.X) + (offset.Y * chord.Y)) / squared, 0, 1) : 0;
            if (!((offset - (along * chord)).Length <= chordError))
            {
                return false;
            }
        }

        return true;
    }

    // De Casteljau: the left half goes to left, the right half stays.
    private static void SplitInTwo(RationalPoint[] control, RationalPoint[] left)
    {
        left[0] = control[0];
        for (int level = 1; level < control.Length; level++)
        {
            for (int i = 0; i < control.Length - level; i++)
            {
                control[i] = RationalPoint.Lerp(control[i], control[i + 1], 0.5);
            }

            left[level] = control[0];
        }
    }
}
