namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// One edge of the input, lower end first (of a horizontal edge the left end first), with its direction and operand kept
/// in <paramref name="Code"/>.
/// </summary>
internal readonly record struct InputEdge(int LowerX, int LowerY, int UpperX, int UpperY, int Code)
{
    /// <summary>The edge runs from its upper (or right) end to its lower (or left) end.</summary>
    public const int RunsDown = 1;

    /// <summary>The edge belongs to the second operand.</summary>
    public const int SecondOperand = 2;

    public bool IsHorizontal => LowerY == UpperY;

    public int MinX => Math.Min(LowerX, UpperX);

    public int MaxX => Math.Max(LowerX, UpperX);

    /// <summary>The end at which the ring enters the edge.</summary>
    public int StartX => (Code & RunsDown) != 0 ? UpperX : LowerX;

    /// <inheritdoc cref="StartX"/>
    public int StartY => (Code & RunsDown) != 0 ? UpperY : LowerY;

    /// <summary>
    /// What crossing the edge from left to right adds to the two winding numbers. An edge that runs down has the inside
    /// of a counter-clockwise ring on its right.
    /// </summary>
    public Winding Weight
    {
        get
        {
            int step = (Code & RunsDown) != 0 ? 1 : -1;
            return (Code & SecondOperand) == 0 ? new Winding(step, 0) : new Winding(0, step);
        }
    }
}
