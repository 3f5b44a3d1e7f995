using System.Collections.Immutable;
using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Model.Layout.Summary;

/// <summary>A layout at a glance.</summary>
/// <param name="Drawing">Name of the cell that is the drawing.</param>
/// <param name="GridPicometres">Size of one grid step.</param>
/// <param name="Cells">Number of cells, the drawing itself included.</param>
/// <param name="Extent">Bounding box of everything in grid steps; null if nothing is drawn.</param>
/// <param name="IsExtentUpperBound">True if extents are upper bounds, since cells are turned by other than quarter turns.</param>
/// <param name="Layers">One entry a layer, in the layout's order; empty layers too.</param>
internal sealed record LayoutSummary(
    string Drawing,
    long GridPicometres,
    int Cells,
    LayoutExtent? Extent,
    bool IsExtentUpperBound,
    ImmutableArray<LayerSummary> Layers)
{
    private const int PartOfCell = 1 << 16;

    private static readonly Instance InPlace = new("", default, Orientation.Identity, Repetition.Once, Units.DoseFactor.One);

    /// <summary>
    /// Sums up a layout. Copies are counted, not made: the time does not depend on how large arrays are.
    /// </summary>
    public static LayoutSummary Of(LayoutDocument layout)
    {
        // Cells come before the cells that place them.
        var tallies = new Dictionary<string, CellTally>(StringComparer.Ordinal);
        foreach (Cell cell in layout.Cells)
        {
            CellTally tally = OfShapes(cell.Shapes);
            foreach (Instance instance in cell.Instances)
            {
                tally.Add(instance, tallies[instance.CellName]);
            }

            tallies[cell.Name] = tally;
        }

        CellTally top = tallies[layout.TopCell];
        double nanometresPerStep = layout.GridPicometres / 1000.0;
        return new(
            layout.TopCell,
            layout.GridPicometres,
            layout.Cells.Length,
            top.Extent,
            LayoutExtent.IsUpperBound(layout),
            [.. layout.Layers.Select((name, index) => top.ToSummary(name, index, nanometresPerStep))]);
    }

    // Cells of many shapes are counted in parts, on all cores: sums of whole numbers and extremes come out alike in any order.
    private static CellTally OfShapes(ImmutableArray<Shape> shapes)
    {
        var parts = new CellTally[Math.Max(1, (shapes.Length + PartOfCell - 1) / PartOfCell)];
        ParallelWork.For(parts.Length, Environment.ProcessorCount, part =>
        {
            var tally = new CellTally();
            int first = part * PartOfCell;
            foreach (Shape shape in shapes.AsSpan(first, Math.Min(PartOfCell, shapes.Length - first)))
            {
                tally.Add(shape);
            }

            parts[part] = tally;
        }, CancellationToken.None);
        for (int i = 1; i < parts.Length; i++)
        {
            parts[0].Add(InPlace, parts[i]);
        }

        return parts[0];
    }
}
