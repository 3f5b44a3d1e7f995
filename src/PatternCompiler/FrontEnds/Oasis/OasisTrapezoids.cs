namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>Corners of trapezoids (SEMI P39, 28 and 29), counter-clockwise, from the lower left of their bounding box.</summary>
internal static class OasisTrapezoids
{
    /// <summary>Types of compact trapezoids that the standard has.</summary>
    public const int CompactTypes = 26;

    private const int FirstSquare = 25;

    /// <summary>
    /// Corners of a trapezoid in a box. With level parallel sides the deltas lead from the lower to the upper end of the left and
    /// of the right side. Upright ones are these turned a quarter counter-clockwise: the deltas lead from the right to the left
    /// end of the lower and of the upper side.
    /// </summary>
    public static OasisVector[] Corners(bool isUpright, long width, long height, long first, long second) => isUpright
        ?
        [
            new(0, Math.Max(0, first)), new(width, Math.Max(0, -first)),
            new(width, height - Math.Max(0, second)), new(0, height + Math.Min(0, second)),
        ]
        :
        [
            new(Math.Max(0, -first), 0), new(width - Math.Max(0, second), 0),
            new(width + Math.Min(0, second), height), new(Math.Max(0, first), height),
        ];

    /// <summary>False if a side would have a length below zero, so that the others cross.</summary>
    public static bool IsProper(ReadOnlySpan<OasisVector> corners)
    {
        for (int i = 0; i < corners.Length; i++)
        {
            OasisVector a = corners[i];
            OasisVector b = corners[(i + 1) % corners.Length];
            OasisVector c = corners[(i + 2) % corners.Length];
            if ((Int128)(b.X - a.X) * (c.Y - b.Y) < (Int128)(b.Y - a.Y) * (c.X - b.X))
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>Size of a compact trapezoid's box, of which some types state one side only.</summary>
    public static (bool NeedsWidth, bool NeedsHeight) Needs(int type) => type switch
    {
        >= 16 and <= 19 or 22 or 23 or FirstSquare => (true, false),
        20 or 21 => (false, true),
        _ => (true, true),
    };

    /// <summary>Corners of a compact trapezoid: its slanted sides run at 45 degrees.</summary>
    public static OasisVector[] Compact(int type, long w, long h) => type switch
    {
        0 => [new(0, 0), new(w, 0), new(w - h, h), new(0, h)],
        1 => [new(0, 0), new(w - h, 0), new(w, h), new(0, h)],
        2 => [new(0, 0), new(w, 0), new(w, h), new(h, h)],
        3 => [new(h, 0), new(w, 0), new(w, h), new(0, h)],
        4 => [new(0, 0), new(w, 0), new(w - h, h), new(h, h)],
        5 => [new(h, 0), new(w - h, 0), new(w, h), new(0, h)],
        6 => [new(0, 0), new(w - h, 0), new(w, h), new(h, h)],
        7 => [new(h, 0), new(w, 0), new(w - h, h), new(0, h)],
        8 => [new(0, 0), new(w, 0), new(w, h - w), new(0, h)],
        9 => [new(0, 0), new(w, 0), new(w, h), new(0, h - w)],
        10 => [new(0, 0), new(w, w), new(w, h), new(0, h)],
        11 => [new(0, w), new(w, 0), new(w, h), new(0, h)],
        12 => [new(0, 0), new(w, w), new(w, h - w), new(0, h)],
        13 => [new(0, w), new(w, 0), new(w, h), new(0, h - w)],
        14 => [new(0, 0), new(w, w), new(w, h), new(0, h - w)],
        15 => [new(0, w), new(w, 0), new(w, h - w), new(0, h)],
        16 => [new(0, 0), new(w, 0), new(0, w)],
        17 => [new(0, 0), new(w, w), new(0, w)],
        18 => [new(0, 0), new(w, 0), new(w, w)],
        19 => [new(w, 0), new(w, w), new(0, w)],
        20 => [new(0, 0), new(2 * h, 0), new(h, h)],
        21 => [new(h, 0), new(2 * h, h), new(0, h)],
        22 => [new(0, 0), new(w, w), new(0, 2 * w)],
        23 => [new(w, 0), new(w, 2 * w), new(0, w)],
        24 => [new(0, 0), new(w, 0), new(w, h), new(0, h)],
        _ => [new(0, 0), new(w, 0), new(w, w), new(0, w)],
    };
}
