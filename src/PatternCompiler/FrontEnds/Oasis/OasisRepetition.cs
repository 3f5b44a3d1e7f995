namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>
/// How an object is repeated: in regular columns and rows, or at single displacements.
/// </summary>
/// <param name="Columns">Copies along <paramref name="ColumnStep"/>.</param>
/// <param name="Rows">Copies along <paramref name="RowStep"/>.</param>
/// <param name="ColumnStep">From column to column.</param>
/// <param name="RowStep">From row to row.</param>
/// <param name="Displacements">Places of all copies from the first one, that included; null for a regular array.</param>
internal sealed record OasisRepetition(int Columns, int Rows, OasisVector ColumnStep, OasisVector RowStep, OasisVector[]? Displacements = null)
{
    /// <summary>A single object.</summary>
    public static OasisRepetition Once { get; } = new(1, 1, default, default);

    /// <summary>Number of copies.</summary>
    public long Count => Displacements?.Length ?? (long)Columns * Rows;

    /// <summary>Reads a repetition (SEMI P39, 7.6); type 0 is the one before.</summary>
    public static OasisRepetition Read(OasisBytes bytes, OasisPoints points, OasisRepetition? before)
    {
        long type = bytes.Unsigned();
        switch (type)
        {
            case 0:
                return before ?? throw bytes.Fault("the repetition before is called for, but there is none");
            case 1:
                int columns = Dimension(bytes);
                int rows = Dimension(bytes);
                return new(columns, rows, new(points.Size(), 0), new(0, points.Size()));
            case 2:
                return new(Dimension(bytes), 1, new(points.Size(), 0), default);
            case 3:
                return new(1, Dimension(bytes), default, new(0, points.Size()));
            case 4 or 5 or 6 or 7:
                int count = Dimension(bytes);
                long grid = type is 5 or 7 ? points.Size() : 1;
                return Single(count, points, () => points.Times(grid, type < 6 ? new(points.Size(), 0) : new(0, points.Size())));
            case 8:
                int first = Dimension(bytes);
                int second = Dimension(bytes);
                return new(first, second, points.General(), points.General());
            case 9:
                return new(Dimension(bytes), 1, points.General(), default);
            case 10 or 11:
                int copies = Dimension(bytes);
                long unit = type == 11 ? points.Size() : 1;
                return Single(copies, points, () => points.Times(unit, points.General()));
            default:
                throw bytes.Fault($"a repetition of type {type}; there are 0 to 11");
        }
    }

    private static int Dimension(OasisBytes bytes) => bytes.Count("copies") + 2;

    private static OasisRepetition Single(int count, OasisPoints points, Func<OasisVector> step)
    {
        var displacements = new List<OasisVector> { default };
        for (int i = 1; i < count; i++)
        {
            points.Add(displacements, points.Sum(displacements[^1], step()));
        }

        return new(count, 1, default, default, [.. displacements]);
    }
}
