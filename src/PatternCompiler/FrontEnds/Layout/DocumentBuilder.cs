using System.Collections.Immutable;
using System.Runtime.InteropServices;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Gathers layers and cells, and puts the cells in order once all are known.</summary>
internal sealed class DocumentBuilder
{
    private readonly List<string> layers = [];
    private readonly Dictionary<string, int> layerIndices = new(StringComparer.Ordinal);
    private readonly List<CellBuilder> cells = [];
    private readonly Dictionary<string, CellBuilder> cellsByName = new(StringComparer.Ordinal);
    private readonly CellBuilder top = new("", null);

    /// <summary>The cell that statements add to.</summary>
    public CellBuilder Current { get; private set; } = null!;

    /// <summary>Name of the drawing.</summary>
    public string DrawingName { get; set; } = LayoutWriter.DefaultDrawingName;

    /// <summary>True if a job's operations and its place in the field are in the drawing already.</summary>
    public bool IsPlaced { get; set; }

    /// <summary>Where shapes and placed cells were drawn.</summary>
    public PlaceColumn Places { get; } = new();

    /// <summary>Starts at the top level.</summary>
    public DocumentBuilder()
    {
        Current = top;
    }

    /// <summary>True if anything has been declared or drawn.</summary>
    public bool HasContent => layers.Count > 0 || cells.Count > 0 || top.Shapes.Count > 0 || top.Instances.Count > 0;

    /// <summary>Declares a layer; again is fine.</summary>
    public void DeclareLayer(string name)
    {
        if (layerIndices.TryAdd(name, layers.Count))
        {
            layers.Add(name);
        }
    }

    /// <summary>Takes the name of a declared layer and gives its index.</summary>
    public int TakeLayer(ref LineScanner scanner)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        string name = scanner.TakeName("the name of a layer");
        if (layerIndices.TryGetValue(name, out int index))
        {
            return index;
        }

        string? nearest = NearestWord.Find(name, layers);
        throw scanner.Fault(
            LayoutCodes.UnknownLayer,
            $"there is no layer '{name}'",
            start,
            nearest is null ? $"declare it near the top with: layer {LayoutWriter.Quote(name)}" : $"did you mean '{nearest}'?");
    }

    /// <summary>Where what a statement draws on a layer was drawn: where it says so itself, else in the statement's line.</summary>
    public PlaceId PlaceOf(in LineScanner scanner, StatementWord statement, in Arguments given) =>
        PlaceOf(scanner.File, scanner.Number, statement, given);

    /// <summary>As above, for a statement that began in a line before.</summary>
    public PlaceId PlaceOf(string file, int line, StatementWord statement, in Arguments given) =>
        given.Has(ArgumentKind.Drawn) ? given.Drawn : Places.InLine(file, line, statement, statement is StatementWord.Place or StatementWord.Array ? null : layers[given.Layer]);

    /// <summary>Starts a cell.</summary>
    public void BeginCell(in LineScanner scanner, string name, int position)
    {
        var cell = new CellBuilder(name, scanner.PlaceOf(position));
        if (!cellsByName.TryAdd(name, cell))
        {
            string first = cellsByName[name].Place?.ToString() ?? "";
            throw scanner.Fault(LayoutCodes.NameTaken, $"cell '{name}' is defined twice, first at {first}", position, "rename one of them");
        }

        cells.Add(cell);
        Current = cell;
    }

    /// <summary>Returns to the top level.</summary>
    public void EndCell() => Current = top;

    /// <summary>The document; fails if a placed cell is missing or cells contain each other.</summary>
    public LayoutDocument Build(long gridPicometres)
    {
        if (cellsByName.TryGetValue(DrawingName, out CellBuilder? clash))
        {
            throw new CompileException(
                LayoutCodes.NameTaken,
                $"cell '{DrawingName}' has the name of the drawing itself",
                clash.Place ?? default,
                "rename the cell, or name the drawing near the top with: drawing NAME");
        }

        var ordered = new CellOrder(cellsByName).Sort(cells, top);
        ImmutableArray<Cell> built = [.. ordered.Select(cell => cell.Build(cell == top ? DrawingName : cell.Name))];
        return new LayoutDocument(gridPicometres, [.. layers], built, DrawingName) { IsPlaced = IsPlaced, Places = Places.Table };
    }
}
