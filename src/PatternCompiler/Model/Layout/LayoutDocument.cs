using System.Collections.Immutable;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Model.Layout;

/// <summary>
/// The first document: a drawing as its author meant it. Cells hold shapes and instances of other cells; shapes keep
/// their kind (a circle stays a circle), their layer and their dose factor. Coordinates are whole grid steps.
/// Invariants: every layer index and cell name resolves; cells form no cycle; coordinates are in range.
/// </summary>
/// <param name="GridPicometres">Size of one grid step in picometres, 1 or more (100 = 0.1 nm).</param>
/// <param name="Layers">Layer names in order of first appearance; shapes refer to them by index.</param>
/// <param name="Cells">Cells by definition order, each before the first cell that places it.</param>
/// <param name="TopCell">Name of the cell that is the drawing.</param>
internal sealed record LayoutDocument(
    long GridPicometres,
    ImmutableArray<string> Layers,
    ImmutableArray<Cell> Cells,
    string TopCell)
{
    /// <summary>Grid step used when nothing else is asked for: 0.1 nm.</summary>
    public const long DefaultGridPicometres = 100;

    /// <summary>
    /// A job's operations, bias and place in the field are in it already: stages that would apply them leave it as it is.
    /// </summary>
    public bool IsPlaced { get; init; }

    /// <summary>What the places of shapes and instances mean.</summary>
    public PlaceTable Places { get; init; } = Unknown;

    private static PlaceTable Unknown { get; } = new();
}
