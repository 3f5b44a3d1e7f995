namespace PatternCompiler.Model.Strokes;

/// <summary>
/// One beam move on the sample plane. Positions are whole femtometres from the field's centre (x right, y up): fine
/// enough for the position of any DAC code, and exact in a 64-bit integer.
/// </summary>
/// <param name="Kind">Jump, line, dot, via or await.</param>
/// <param name="Figure">Number of the figure it belongs to (0-based, in the figures document's order); a blanked move carries the number of the figure it leads to.</param>
/// <param name="XFemtometres">Start of a line, the dot's position, or where the jump or via leads.</param>
/// <param name="YFemtometres">As <paramref name="XFemtometres"/>.</param>
/// <param name="EndXFemtometres">End of a line; equal to the start otherwise.</param>
/// <param name="EndYFemtometres">As <paramref name="EndXFemtometres"/>.</param>
/// <param name="Points">
/// Exposed points of a line, 1 or more, evenly spaced with the first at the start and the last at the end; 1 for a dot,
/// 0 for a jump or via.
/// </param>
/// <param name="ChargeZeptocoulombs">Charge of all points together, in 1e-21 C; 0 for a jump or via.</param>
/// <remarks>
/// Between two exposing strokes without a jump between them the beam stays on: the next stroke's first point directly
/// follows the last point. Everything else is reached by a jump.
/// </remarks>
internal readonly record struct Stroke(
    StrokeKind Kind,
    int Figure,
    long XFemtometres,
    long YFemtometres,
    long EndXFemtometres,
    long EndYFemtometres,
    int Points,
    long ChargeZeptocoulombs)
{
    /// <summary>A move with the beam off.</summary>
    public static Stroke Jump(int figure, long x, long y) => new(StrokeKind.Jump, figure, x, y, x, y, 0, 0);

    /// <summary>A move with the beam off that is not waited for to its end.</summary>
    public static Stroke Via(int figure, long x, long y) => new(StrokeKind.Via, figure, x, y, x, y, 0, 0);

    /// <summary>A jump that ends with waiting for the trigger input and then some time.</summary>
    public static Stroke Await(int figure, long x, long y, long waitPicoseconds) =>
        new(StrokeKind.Await, figure, x, y, x, y, 0, 0) { WaitPicoseconds = waitPicoseconds };

    /// <summary>Time from the trigger's edge until the beam may come on; 0 for all but an await.</summary>
    public long WaitPicoseconds { get; init; }

    /// <summary>True if the beam is off.</summary>
    public bool IsBlanked => Kind is StrokeKind.Jump or StrokeKind.Via or StrokeKind.Await;

    /// <summary>One exposed point.</summary>
    public static Stroke Dot(int figure, long x, long y, long chargeZeptocoulombs) =>
        new(StrokeKind.Dot, figure, x, y, x, y, 1, chargeZeptocoulombs);

    /// <summary>A run of evenly spaced exposed points.</summary>
    public static Stroke Line(int figure, long x0, long y0, long x1, long y1, int points, long chargeZeptocoulombs) =>
        new(StrokeKind.Line, figure, x0, y0, x1, y1, points, chargeZeptocoulombs);
}

/// <summary>What the beam does.</summary>
internal enum StrokeKind : byte
{
    /// <summary>Move with the beam off.</summary>
    Jump,

    /// <summary>Expose evenly spaced points from start to end.</summary>
    Line,

    /// <summary>Expose one point.</summary>
    Dot,

    /// <summary>
    /// Move towards a place with the beam off, and go on without settling when three quarters of the way are covered. Leads
    /// the beam around what it must not touch.
    /// </summary>
    Via,

    /// <summary>Move with the beam off, settle, wait for the next edge of the trigger input and then as long as the stroke says.</summary>
    Await,
}
