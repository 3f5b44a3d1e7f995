namespace PatternCompiler.Passes.Fill;

/// <summary>A part of an area between two values of v in which both its sides are straight.</summary>
/// <param name="V0">Lower v.</param>
/// <param name="V1">Upper v.</param>
/// <param name="Start0">Start of the interval at the lower v.</param>
/// <param name="Start1">Start at the upper v.</param>
/// <param name="End0">End of the interval at the lower v.</param>
/// <param name="End1">End at the upper v.</param>
internal readonly record struct ShapePiece(double V0, double V1, double Start0, double Start1, double End0, double End1);

/// <summary>Walks the straight-sided pieces of an area within a range of v.</summary>
internal ref struct ShapePieces
{
    private readonly AreaShape shape;
    private readonly ReadOnlySpan<double> corners;
    private readonly double end;
    private double at;

    /// <param name="shape">The area.</param>
    /// <param name="corners">Its corners.</param>
    /// <param name="from">Lower end of the range.</param>
    /// <param name="to">Upper end of the range.</param>
    public ShapePieces(in AreaShape shape, ReadOnlySpan<double> corners, double from, double to)
    {
        this.shape = shape;
        this.corners = corners;
        at = Math.Max(from, corners[0]);
        end = Math.Min(to, corners[^1]);
    }

    public ShapePiece Current { get; private set; }

    public readonly ShapePieces GetEnumerator() => this;

    public bool MoveNext()
    {
        if (at >= end)
        {
            return false;
        }

        double next = end;
        foreach (double corner in corners)
        {
            if (corner > at && corner < next)
            {
                next = corner;
            }
        }

        (double start0, double end0) = shape.Between(at);
        (double start1, double end1) = shape.Between(next);
        Current = new(at, next, start0, start1, end0, end1);
        at = next;
        return true;
    }
}
