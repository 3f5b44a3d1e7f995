using PatternCompiler.Model.Layout;

namespace PatternCompiler.Places;

/// <summary>The cells of a layout by name, with the box around each and all that it places.</summary>
internal sealed class CellBoxes
{
    private readonly Dictionary<string, (Cell Cell, LayoutExtent Box)> cells = new(StringComparer.Ordinal);

    /// <summary>Measures the cells.</summary>
    public CellBoxes(LayoutDocument layout)
    {
        // Cells come before the cells that place them.
        foreach (Cell cell in layout.Cells)
        {
            LayoutExtent box = LayoutExtent.Nothing;
            foreach (Shape shape in cell.Shapes)
            {
                box = box.With(LayoutExtent.OfShape(shape));
            }

            foreach (Instance instance in cell.Instances)
            {
                box = box.With(LayoutExtent.OfInstance(instance, cells[instance.CellName].Box));
            }

            cells[cell.Name] = (cell, box);
        }
    }

    /// <summary>A cell.</summary>
    public Cell this[string name] => cells[name].Cell;

    /// <summary>The box of the first copy of an instance, in the coordinates of the cell that places it.</summary>
    public LayoutExtent FirstCopy(Instance instance) =>
        LayoutExtent.OfInstance(instance with { Repetition = Repetition.Once }, cells[instance.CellName].Box);
}
