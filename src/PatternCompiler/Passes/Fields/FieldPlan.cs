using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Passes.Order;

namespace PatternCompiler.Passes.Fields;

/// <summary>Where the stage goes.</summary>
/// <param name="GridPicometres">Grid step of all coordinates.</param>
/// <param name="HalfWidth">Reach of a field to either side of its centre, in grid steps.</param>
/// <param name="HalfHeight">Reach upward and downward.</param>
/// <param name="Fields">The fields in the order of the visits; fields without figures are left out.</param>
internal sealed record FieldPlan(long GridPicometres, int HalfWidth, int HalfHeight, ImmutableArray<WriteField> Fields);

/// <summary>One position of the stage and what is written there.</summary>
/// <param name="Row">Counted from below, from 0.</param>
/// <param name="Column">Counted from the left, from 0.</param>
/// <param name="Name">Such as r01c02: row and column counted from 1.</param>
/// <param name="Centre">The pattern's place that stands under the undeflected beam.</param>
/// <param name="Cell">The part of the pattern between the field's seams; where there is no neighbour, to its reach.</param>
internal sealed record WriteField(int Row, int Column, string Name, GridPoint Centre, GridBox Cell);

/// <summary>Puts write fields into the order in which the stage visits them.</summary>
internal static class StageRoute
{
    /// <summary>Orders fields that come row by row from the lower left.</summary>
    public static IReadOnlyList<WriteField> Order(IReadOnlyList<WriteField> fields, StageOrder order, CancellationToken cancellation)
    {
        switch (order)
        {
            case StageOrder.Serpentine:
                return [.. fields.GroupBy(field => field.Row).SelectMany(row => (row.Key & 1) == 0 ? row : row.Reverse())];
            case StageOrder.Shortest when fields.Count > 2:
                TravelItem[] items = [.. fields.Select(field => TravelItem.Dot(field.Centre.X, field.Centre.Y))];
                var options = new TravelOptions(AllowsReversal: true, (fields[0].Centre.X, fields[0].Centre.Y));
                return [.. TravelOrder.Find(items, options, cancellation).Order.Select(i => fields[i])];
            case StageOrder.Spread:
                return [.. SpreadOrder.Find([.. fields.Select(field => ((double)field.Centre.X, (double)field.Centre.Y))], cancellation).Select(i => fields[i])];
            default:
                return fields;
        }
    }
}
