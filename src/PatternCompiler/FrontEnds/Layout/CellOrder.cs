using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Puts every cell behind those it places, and else keeps the order of definition. Works without recursion, however deep cells nest.</summary>
internal sealed class CellOrder(Dictionary<string, CellBuilder> cellsByName)
{
    private readonly List<CellBuilder> ordered = [];
    private readonly HashSet<CellBuilder> finished = [];

    /// <summary>All cells in order, the drawing itself last.</summary>
    public List<CellBuilder> Sort(List<CellBuilder> cells, CellBuilder top)
    {
        foreach (CellBuilder cell in cells)
        {
            Visit(cell);
        }

        Visit(top);
        return ordered;
    }

    private void Visit(CellBuilder root)
    {
        if (finished.Contains(root))
        {
            return;
        }

        var path = new List<(CellBuilder Cell, int Next)> { (root, 0) };
        var isOnPath = new HashSet<CellBuilder> { root };
        while (path.Count > 0)
        {
            (CellBuilder cell, int next) = path[^1];
            if (next == cell.References.Count)
            {
                path.RemoveAt(path.Count - 1);
                isOnPath.Remove(cell);
                finished.Add(cell);
                ordered.Add(cell);
                continue;
            }

            path[^1] = (cell, next + 1);
            CellReference reference = cell.References[next];
            CellBuilder placed = Find(reference);
            if (isOnPath.Contains(placed))
            {
                throw Cycle(path, placed, reference);
            }

            if (!finished.Contains(placed))
            {
                path.Add((placed, 0));
                isOnPath.Add(placed);
            }
        }
    }

    private CellBuilder Find(CellReference reference)
    {
        if (cellsByName.TryGetValue(reference.Name, out CellBuilder? cell))
        {
            return cell;
        }

        string? nearest = NearestWord.Find(reference.Name, cellsByName.Keys.Order(StringComparer.Ordinal));
        throw new CompileException(
            LayoutCodes.UnknownCell,
            $"there is no cell '{reference.Name}'",
            reference.Place,
            nearest is null ? "define it, above or below, between the lines: cell NAME ... end" : $"did you mean '{nearest}'?",
            reference.SourceLine);
    }

    private static CompileException Cycle(List<(CellBuilder Cell, int Next)> path, CellBuilder placed, CellReference reference)
    {
        const int MostNames = 8;
        List<string> names = [.. path.Select(entry => entry.Cell.Name).SkipWhile(name => name != placed.Name)];
        if (names.Count > MostNames)
        {
            names.RemoveRange(MostNames - 1, names.Count - MostNames);
            names.Insert(MostNames - 1, "...");
        }

        return new(
            LayoutCodes.CellCycle,
            names.Count == 1 ? $"cell '{placed.Name}' places itself" : $"cells place each other in a circle: {string.Join(" > ", names.Append(placed.Name))}",
            reference.Place,
            "remove one of these placements",
            reference.SourceLine);
    }
}
