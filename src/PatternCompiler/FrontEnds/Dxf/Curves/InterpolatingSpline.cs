using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Curves;

/// <summary>
/// The smooth curve through given points: a cubic spline with continuous curvature, spaced by chord length, with the given
/// tangents at its ends or none (natural ends). It is handed on as a B-spline's Bézier spans: a B-spline with threefold knots.
/// </summary>
internal static class InterpolatingSpline
{
    /// <summary>The curve through two points or more, no two neighbours equal.</summary>
    /// <param name="points">Points to pass through.</param>
    /// <param name="startTangent">Direction at the first point, or null.</param>
    /// <param name="endTangent">Direction at the last point, or null.</param>
    public static SplineCurve Through(IReadOnlyList<PlanePoint> points, PlanePoint? startTangent, PlanePoint? endTangent)
    {
        int spans = points.Count - 1;
        double[] lengths = new double[spans];
        for (int i = 0; i < spans; i++)
        {
            lengths[i] = (points[i + 1] - points[i]).Length;
        }

        PlanePoint[] slopes = Slopes(points, lengths, startTangent, endTangent);
        var control = new RationalPoint[(3 * spans) + 1];
        double[] knots = new double[control.Length + 4];
        double parameter = 0;
        control[0] = RationalPoint.From(points[0]);
        for (int i = 0; i < spans; i++)
        {
            control[(3 * i) + 1] = RationalPoint.From(points[i] + (lengths[i] / 3 * slopes[i]));
            control[(3 * i) + 2] = RationalPoint.From(points[i + 1] - (lengths[i] / 3 * slopes[i + 1]));
            control[(3 * i) + 3] = RationalPoint.From(points[i + 1]);
            parameter += lengths[i];
            Array.Fill(knots, parameter, (3 * i) + 4, 3);
        }

        knots[^1] = parameter;
        return new SplineCurve(3, knots, control);
    }

    // The slopes m solve h[i]·m[i−1] + 2(h[i−1] + h[i])·m[i] + h[i−1]·m[i+1] = 3(h[i]·d[i−1] + h[i−1]·d[i]), d the slope of the
    // chord: equal second derivatives on both sides of each inner point. At the ends the slope is given, or the second
    // derivative is zero: 2m[0] + m[1] = 3d[0]. One forward and one backward sweep solve it.
    private static PlanePoint[] Slopes(IReadOnlyList<PlanePoint> points, double[] h, PlanePoint? start, PlanePoint? end)
    {
        int n = points.Count;
        double[] diagonal = new double[n];
        double[] upper = new double[n];
        double[] lower = new double[n];
        var right = new PlanePoint[n];
        (diagonal[0], upper[0], right[0]) = start is { Length: > 0 } s
            ? (1, 0, (1 / s.Length) * s)
            : (2, 1, 3 * Chord(0));
        (diagonal[^1], lower[^1], right[^1]) = end is { Length: > 0 } e
            ? (1, 0, (1 / e.Length) * e)
            : (2, 1, 3 * Chord(n - 2));
        for (int i = 1; i < n - 1; i++)
        {
            lower[i] = h[i];
            diagonal[i] = 2 * (h[i - 1] + h[i]);
            upper[i] = h[i - 1];
            right[i] = 3 * ((h[i] * Chord(i - 1)) + (h[i - 1] * Chord(i)));
        }

        for (int i = 1; i < n; i++)
        {
            double factor = lower[i] / diagonal[i - 1];
            diagonal[i] -= factor * upper[i - 1];
            right[i] -= factor * right[i - 1];
        }

        right[^1] = (1 / diagonal[^1]) * right[^1];
        for (int i = n - 2; i >= 0; i--)
        {
            right[i] = (1 / diagonal[i]) * (right[i] - (upper[i] * right[i + 1]));
        }

        return right;

        PlanePoint Chord(int i) => (1 / h[i]) * (points[i + 1] - points[i]);
    }
}
