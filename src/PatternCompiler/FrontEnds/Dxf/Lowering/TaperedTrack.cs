using PatternCompiler.FrontEnds.Dxf.Curves;
using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>
/// Outlines of a track whose width changes: one ring for each line or arc, between its two sides, and one for each corner,
/// which fills the outside up to the mitre where the widths agree and the corner is not too sharp.
/// </summary>
internal static class TaperedTrack
{
    // A mitre reaches at most this many half widths from the corner; beyond, the corner is cut straight.
    private const double MitreLimit = 4;

    /// <summary>Rings in grid steps, not rounded; null if the track leaves the grid.</summary>
    public static List<List<PlanePoint>>? Outlines(TaperedEntity track, in Placement placement, double chordError)
    {
        var rings = new List<List<PlanePoint>>();
        int count = track.IsClosed ? track.Corners.Length : track.Corners.Length - 1;
        var legs = new List<Leg>();
        for (int i = 0; i < count; i++)
        {
            BulgeVertex from = track.Corners[i];
            BulgeVertex to = track.Corners[(i + 1) % track.Corners.Length];
            (double startWidth, double endWidth) = track.Widths[i];
            var curve = new List<PlanePoint>();
            double widest = placement.StepsPerUnit * Math.Max(startWidth, endWidth);

            // The width first: the chords of an arc are as many as its outer side needs.
            if (!(widest <= GridPoint.Limit)
                || !new BulgeCurve([from, to with { Bulge = 0 }], closed: false).TryFlatten(curve, placement, ErrorOfMiddle(placement.StepsPerUnit * (to.Point - from.Point).Length, from.Bulge, widest, chordError)))
            {
                return null;
            }

            if (curve[0] != curve[^1])
            {
                var leg = new Leg(curve, from.Bulge, placement.StepsPerUnit * startWidth / 2, placement.StepsPerUnit * endWidth / 2);
                legs.Add(leg);
                rings.Add(leg.Ring());
            }
        }

        for (int i = track.IsClosed ? 0 : 1; i < legs.Count; i++)
        {
            AddCorner(rings, legs[i == 0 ? legs.Count - 1 : i - 1], legs[i]);
        }

        return rings;
    }

    // The outer side of an arc has the larger radius, and the error of its chords grows with that.
    private static double ErrorOfMiddle(double chord, double bulge, double width, double chordError)
    {
        double radius = chord * (1 + (bulge * bulge)) / (4 * Math.Abs(bulge));
        return double.IsFinite(radius) && radius > 0 ? chordError * radius / (radius + (width / 2)) : chordError;
    }

    private static void AddCorner(List<List<PlanePoint>> rings, Leg before, Leg after)
    {
        PlanePoint u = before.EndDirection;
        PlanePoint v = after.StartDirection;
        double turn = (u.X * v.Y) - (u.Y * v.X);
        double cosine = (u.X * v.X) + (u.Y * v.Y);
        if (turn == 0 && cosine > 0)
        {
            return;
        }

        // The outside is on the right of a left turn.
        double side = turn > 0 ? 1 : -1;
        PlanePoint corner = after.Start;
        PlanePoint first = corner + (side * before.EndHalfWidth * new PlanePoint(u.Y, -u.X));
        PlanePoint second = corner + (side * after.StartHalfWidth * new PlanePoint(v.Y, -v.X));
        var ring = new List<PlanePoint> { corner, first };
        if (before.EndHalfWidth == after.StartHalfWidth && 2 <= MitreLimit * MitreLimit * (1 + cosine))
        {
            // Along the bisector, half width over the cosine of half the turn.
            PlanePoint middle = new(u.Y + v.Y, -u.X - v.X);
            ring.Add(corner + (side * before.EndHalfWidth / (1 + cosine) * middle));
        }

        ring.Add(second);
        rings.Add(ring);
    }

    private sealed class Leg(List<PlanePoint> points, double bulge, double startHalfWidth, double endHalfWidth)
    {
        public PlanePoint Start => points[0];

        public double StartHalfWidth => startHalfWidth;

        public double EndHalfWidth => endHalfWidth;

        public PlanePoint StartDirection => Direction(0);

        public PlanePoint EndDirection => Direction(1);

        public List<PlanePoint> Ring()
        {
            var ring = new List<PlanePoint>();
            int last = points.Count - 1;
            for (int i = 0; i <= last; i++)
            {
                ring.Add(Offset(i, -1));
            }

            for (int i = last; i >= 0; i--)
            {
                ring.Add(Offset(i, 1));
            }

            return ring;

            PlanePoint Offset(int i, double side)
            {
                double at = (double)i / last;
                PlanePoint d = Direction(at);
                double half = startHalfWidth + (at * (endHalfWidth - startHalfWidth));
                return points[i] + (side * half * new PlanePoint(-d.Y, d.X));
            }
        }

        // Unit vector along the leg at a fraction of its way: the chord's direction, turned by what the arc turns.
        private PlanePoint Direction(double at)
        {
            PlanePoint chord = points[^1] - points[0];
            PlanePoint d = (1 / chord.Length) * chord;
            (double sin, double cos) = Trigonometry.SinCos(4 * Trigonometry.Atan(bulge) * (at - 0.5));
            return new((cos * d.X) - (sin * d.Y), (sin * d.X) + (cos * d.Y));
        }
    }
}
