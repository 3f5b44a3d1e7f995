using PatternCompiler.Passes.Order;

namespace PatternCompiler.Passes.Fields;

/// <summary>Puts write fields into the order in which the stage visits them.</summary>
internal static class StageRoute
{
    /// <summary>Orders fields that come row by row from the lower left.</summary>
    public static IReadOnlyList<WriteField> Order(IReadOnlyList<WriteField> fields, StageOrder order, CancellationToken cancellation)
    {
        switch (order)
        {
            case StageOrder.Serpentine:
                return [.. fields.OrderBy(field => field.Row).ThenBy(field => (field.Row & 1) == 0 ? field.Column : -field.Column)];
            case StageOrder.Shortest when fields.Count > 2:
                TravelItem[] items = [.. fields.Select(field => TravelItem.Dot(field.Centre.X, field.Centre.Y))];
                var options = new TravelOptions(AllowsReversal: false, (fields[0].Centre.X, fields[0].Centre.Y));
                return [.. TravelOrder.Find(items, options, cancellation).Order.Select(i => fields[i])];
            default:
                return fields;
        }
    }
}
