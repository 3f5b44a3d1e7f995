using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Gdsii;

/// <summary>Chooses the top cell and puts the cells it needs in order, each before the first that places it.</summary>
/// <param name="Cells">The cells, children first; those with nothing in them are left out, with their instances.</param>
/// <param name="Placed">What they were read from and those left out, in the order of the file.</param>
internal sealed record GdsiiCellOrder(ImmutableArray<Cell> Cells, IReadOnlyList<GdsiiCell> Placed)
{
    private const int DeepestNesting = 256;
    private const int MostListed = 20;

    /// <summary>The top cell: the one asked for, or the only one that no other cell places.</summary>
    public static GdsiiCell ChooseTop(IReadOnlyList<GdsiiCell> cells, string? wanted, string file)
    {
        if (wanted is not null)
        {
            return cells.FirstOrDefault(c => c.Name == wanted) ?? throw new CompileException(
                GdsiiCodes.UnknownCell, $"the stream has no cell {wanted}", new(file), List("it has", cells));
        }

        var placed = cells.SelectMany(c => c.Instances).Select(i => i.Instance.CellName).ToHashSet(StringComparer.Ordinal);
        List<GdsiiCell> top = [.. cells.Where(c => !placed.Contains(c.Name))];
        return top.Count == 1
            ? top[0]
            : throw new CompileException(
                GdsiiCodes.TopCellUnclear,
                cells.Count == 0 ? "the stream has no cells" : top.Count == 0 ? "every cell is placed by another one" : $"{top.Count} cells are placed by no other one",
                new(file),
                cells.Count == 0 ? null : List("name the one to expose", top.Count == 0 ? cells : top));
    }

    /// <summary>The cells that the top cell needs.</summary>
    public static GdsiiCellOrder Sort(IReadOnlyList<GdsiiCell> cells, GdsiiCell top, string file)
    {
        var byName = cells.ToDictionary(c => c.Name, StringComparer.Ordinal);
        var depths = new Dictionary<GdsiiCell, int>();
        var kept = new HashSet<string>(StringComparer.Ordinal);
        var sorted = ImmutableArray.CreateBuilder<Cell>();

        // Depth first with a stack of its own: a hostile file must not exhaust the program's. Depth -1 marks the path.
        var path = new Stack<(GdsiiCell Cell, int Next)>();
        depths.Add(top, -1);
        path.Push((top, 0));
        while (path.TryPop(out (GdsiiCell Cell, int Next) step))
        {
            if (step.Next < step.Cell.Instances.Count)
            {
                path.Push((step.Cell, step.Next + 1));
                (Instance instance, long position) = step.Cell.Instances[step.Next];
                GdsiiCell child = byName.GetValueOrDefault(instance.CellName) ?? throw new CompileException(
                    GdsiiCodes.UnknownCell, $"cell {step.Cell.Name} places cell {instance.CellName}, which the stream does not define",
                    At(file, position), "export the library it lives in together with it");
                if (depths.TryAdd(child, -1))
                {
                    path.Push((child, 0));
                }
                else if (depths[child] < 0)
                {
                    throw new CompileException(GdsiiCodes.CellCycle, $"cell {child.Name} contains itself", At(file, position), "delete this reference");
                }

                continue;
            }

            int depth = 0;
            var instances = ImmutableArray.CreateBuilder<Instance>();
            foreach ((Instance instance, long position) in step.Cell.Instances)
            {
                depth = Math.Max(depth, depths[byName[instance.CellName]] + 1);
                if (depth > DeepestNesting)
                {
                    throw new CompileException(GdsiiCodes.NestingTooDeep, $"cells are nested more than {DeepestNesting} deep",
                        At(file, position), "flatten some of them");
                }

                if (kept.Contains(instance.CellName))
                {
                    instances.Add(instance);
                }
            }

            depths[step.Cell] = depth;
            if (step.Cell == top || step.Cell.Shapes.Count > 0 || instances.Count > 0)
            {
                kept.Add(step.Cell.Name);
                sorted.Add(new Cell(step.Cell.Name, step.Cell.Shapes.DrainToImmutable(), instances.DrainToImmutable()));
            }
        }

        return new GdsiiCellOrder(sorted.DrainToImmutable(), [.. cells.Where(depths.ContainsKey)]);
    }

    private static SourcePlace At(string file, long position) => new(file, 0, 0, $"byte {position}");

    private static string List(string lead, IReadOnlyList<GdsiiCell> cells) =>
        $"{lead}: {string.Join(", ", cells.Take(MostListed).Select(c => c.Name))}{(cells.Count > MostListed ? ", …" : "")}";
}
