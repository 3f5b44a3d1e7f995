namespace PatternCompiler.Geometry.Curves;

/// <summary>
/// Turns circles, ellipses and arcs into polygons. Every vertex lies on the curve (rounded once to the grid); the number of
/// chords follows from how far a chord may stray from the curve, never from a fixed count. Lengths are in grid steps.
/// </summary>
/// <remarks>
/// A chord over the angle h of a circle of radius r strays by its sagitta r·(1 − cos(h/2)) = 2r·sin²(h/4). An affine
/// image of the circle strays by no more than the largest stretch times the circle's own sagitta.
/// </remarks>
internal static class ArcFlattening
{
    /// <summary>However small a circle is, it keeps at least this many corners before rounding.</summary>
    private const double LargestStep = Math.PI / 4;

    /// <summary>Number of equal chords for an arc.</summary>
    /// <param name="radius">Radius of the arc; for an ellipse its larger half axis.</param>
    /// <param name="sweepRadians">Angle of the arc; the sign does not matter.</param>
    /// <param name="chordError">Largest distance allowed between arc and chord, above zero.</param>
    public static int SegmentCount(double radius, double sweepRadians, double chordError)
    {
        if (!(chordError > 0))
        {
            throw new ArgumentOutOfRangeException(nameof(chordError), chordError, "A chord error is above zero.");
        }

        double half = Math.Sqrt(Math.Min(0.5, chordError / (2 * Math.Abs(radius))));
        double step = Math.Min(LargestStep, 4 * Trigonometry.Asin(half));
        return (int)Math.Max(1, Math.Ceiling((Math.Abs(sweepRadians) / step) - 1e-9));
    }

    /// <summary>
    /// Adds a circle as one counter-clockwise ring. The ring has a corner on each of the four axis directions and the full
    /// symmetry of the circle, so that its extent is exactly the diameter.
    /// </summary>
    /// <param name="rings">Receives the ring, finished.</param>
    /// <param name="centre">Centre.</param>
    /// <param name="radius">Radius, above zero.</param>
    /// <param name="chordError">Largest distance allowed between circle and chord.</param>
    public static void AddCircle(ContourSetBuilder rings, PlanePoint centre, double radius, double chordError) =>
        AddEllipse(rings, centre, new(radius, 0), new(0, radius), chordError);

    /// <summary>
    /// Adds the image of the unit circle under an affine map, centre + u·cos t + v·sin t, as one counter-clockwise ring:
    /// an ellipse, or a circle that a cell instance stretches, turns or mirrors.
    /// </summary>
    /// <param name="rings">Receives the ring, finished.</param>
    /// <param name="centre">Image of the centre.</param>
    /// <param name="u">Image of the unit vector along x.</param>
    /// <param name="v">Image of the unit vector along y.</param>
    /// <param name="chordError">Largest distance allowed between curve and chord.</param>
    public static void AddEllipse(ContourSetBuilder rings, PlanePoint centre, PlanePoint u, PlanePoint v, double chordError)
    {
        if ((u.X * v.Y) - (u.Y * v.X) < 0)
        {
            v = -1 * v;
        }

        int perQuarter = (SegmentCount(LargestStretch(u, v), 2 * Math.PI, chordError) + 3) / 4;
        GridPoint first = default;
        GridPoint last = default;
        bool any = false;
        for (int i = 0; i < 4 * perQuarter; i++)
        {
            (double sin, double cos) = QuarterStep(i, perQuarter);
            GridPoint point = (centre + (cos * u) + (sin * v)).ToGrid();
            if (any && (point == last || point == first))
            {
                continue;
            }

            first = any ? first : point;
            last = point;
            any = true;
            rings.Add(point);
        }

        rings.EndRing();
    }

    /// <summary>
    /// Appends the inner points of an arc given by its ends and its bulge, the tangent of a quarter of its angle: positive
    /// runs counter-clockwise from start to end, 1 is a half circle. The ends themselves are left to the caller; a bulge
    /// of zero appends nothing.
    /// </summary>
    public static void AppendBulge(ICollection<PlanePoint> points, PlanePoint start, PlanePoint end, double bulge, double chordError)
    {
        PlanePoint chord = end - start;
        double length = chord.Length;
        if (bulge == 0 || length == 0)
        {
            return;
        }

        // In the frame of the chord (origin at its middle) the arc is x = c/2·sin φ / sin(θ/2) and
        // y = c·sin((θ/2 + φ)/2)·sin((θ/2 − φ)/2) / sin(θ/2) for φ from −θ/2 to θ/2: this form needs neither the centre nor
        // the radius, which run away to infinity for a nearly straight arc.
        double quarter = Trigonometry.Atan(Math.Abs(bulge));
        double half = 2 * quarter;
        double radius = length * (1 + (bulge * bulge)) / (4 * Math.Abs(bulge));
        int count = SegmentCount(radius, 2 * half, chordError);
        double sinHalf = 2 * Math.Abs(bulge) / (1 + (bulge * bulge));
        PlanePoint middle = start + (0.5 * chord);
        PlanePoint side = new PlanePoint(chord.Y, -chord.X);
        for (int i = 1; i < count; i++)
        {
            // (2i − count) keeps the points of an arc symmetric about its middle.
            double phi = half * ((2.0 * i) - count) / count;
            double along = Trigonometry.SinCos(phi).Sin / (2 * sinHalf);
            double across = Trigonometry.SinCos((half + phi) / 2).Sin * Trigonometry.SinCos((half - phi) / 2).Sin / sinHalf;
            points.Add(middle + (along * chord) + (Math.Sign(bulge) * across * side));
        }
    }

    /// <summary>
    /// Appends points of the image of an arc of the unit circle, centre + u·cos t + v·sin t, both ends included.
    /// </summary>
    /// <param name="points">Receives the points.</param>
    /// <param name="centre">Image of the centre.</param>
    /// <param name="u">Image of the unit vector along x.</param>
    /// <param name="v">Image of the unit vector along y.</param>
    /// <param name="startRadians">Parameter of the first point.</param>
    /// <param name="sweepRadians">Parameter range; negative runs backward.</param>
    /// <param name="chordError">Largest distance allowed between curve and chord.</param>
    public static void AppendArc(
        ICollection<PlanePoint> points,
        PlanePoint centre,
        PlanePoint u,
        PlanePoint v,
        double startRadians,
        double sweepRadians,
        double chordError)
    {
        int count = SegmentCount(LargestStretch(u, v), sweepRadians, chordError);
        for (int i = 0; i <= count; i++)
        {
            (double sin, double cos) = Trigonometry.SinCos(startRadians + (sweepRadians * i / count));
            points.Add(centre + (cos * u) + (sin * v));
        }
    }

    /// <summary>
    /// Largest factor by which the linear map with the columns <paramref name="u"/> and <paramref name="v"/> lengthens a
    /// vector (its larger singular value).
    /// </summary>
    public static double LargestStretch(PlanePoint u, PlanePoint v)
    {
        double sum = (u.X * u.X) + (u.Y * u.Y) + (v.X * v.X) + (v.Y * v.Y);
        double determinant = (u.X * v.Y) - (u.Y * v.X);
        double plus = Math.Sqrt(Math.Max(0, sum + (2 * determinant)));
        double minus = Math.Sqrt(Math.Max(0, sum - (2 * determinant)));
        return (plus + minus) / 2;
    }

    // The first eighth of the circle is computed, the rest follows by symmetry.
    private static (double Sin, double Cos) QuarterStep(int index, int perQuarter)
    {
        int quarter = index / perQuarter;
        int i = index % perQuarter;
        (double sin, double cos) = 2 * i <= perQuarter
            ? Trigonometry.SinCos(Math.PI / 2 * i / perQuarter)
            : Swap(Trigonometry.SinCos(Math.PI / 2 * (perQuarter - i) / perQuarter));
        return quarter switch
        {
            0 => (sin, cos),
            1 => (cos, -sin),
            2 => (-sin, -cos),
            _ => (-cos, sin),
        };
    }

    private static (double Sin, double Cos) Swap((double Sin, double Cos) pair) => (pair.Cos, pair.Sin);
}
