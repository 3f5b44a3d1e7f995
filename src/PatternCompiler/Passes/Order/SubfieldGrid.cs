namespace PatternCompiler.Passes.Order;

/// <summary>
/// The sub-fields of composite converters on the sample, for the order of writing.
/// </summary>
/// <param name="WidthFemtometres">Width of a sub-field.</param>
/// <param name="HeightFemtometres">Height of a sub-field.</param>
public sealed record SubfieldGrid(double WidthFemtometres, double HeightFemtometres)
{
    /// <summary>Where an edge between two columns stands.</summary>
    public double XOriginFemtometres { get; init; }

    /// <summary>Where an edge between two rows stands.</summary>
    public double YOriginFemtometres { get; init; }

    /// <summary>Row and column of a place.</summary>
    public (long Row, long Column) At(double xFemtometres, double yFemtometres) =>
        (
        (long)Math.Floor((yFemtometres - YOriginFemtometres) / HeightFemtometres),
        (long)Math.Floor((xFemtometres - XOriginFemtometres) / WidthFemtometres));

    /// <summary>
    /// Indices of the items by the sub-field that holds the middle between their ends, row by row, every other row backwards, so that each
    /// sub-field is entered once and the coarse converters move by one step at a time.
    /// </summary>
    public IEnumerable<int[]> Group(ReadOnlyMemory<TravelItem> items) => Enumerable.Range(0, items.Length)
        .GroupBy(i => At(items.Span[i].CentreX, items.Span[i].CentreY))
        .OrderBy(group => group.Key.Row)
        .ThenBy(group => (group.Key.Row & 1) == 0 ? group.Key.Column : -group.Key.Column)
        .Select(group => group.ToArray());
}
