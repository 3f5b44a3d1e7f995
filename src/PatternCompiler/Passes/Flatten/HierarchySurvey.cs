using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Passes.Flatten;

/// <summary>
/// Looks over the cells before anything is written out: that each exists, that none contains itself, how deep they nest,
/// and how many points the flat drawing will have. Works without recursion and in a time that does not depend on the
/// number of copies.
/// </summary>
internal sealed class HierarchySurvey
{
    private const int DeepestNest = 1000;

    private readonly ShapeCensus census;
    private readonly Dictionary<string, Cell> cells = new(StringComparer.Ordinal);
    private readonly Dictionary<Cell, Findings> findings = new(ReferenceEqualityComparer.Instance);
    private (Cell Cell, Instance Instance)? largestArray;
    private double pointsDrawn;
    private double placementsDrawn;

    /// <summary>Surveys the drawing from its top cell down.</summary>
    public HierarchySurvey(LayoutDocument layout, ShapeCensus census)
    {
        this.census = census;
        foreach (Cell cell in layout.Cells)
        {
            cells.TryAdd(cell.Name, cell);
        }

        Top = cells.TryGetValue(layout.TopCell, out Cell? top)
            ? top
            : throw new CompileException(HierarchyCodes.MissingCell, $"the drawing's top cell '{layout.TopCell}' does not exist");
        Visit();
    }

    /// <summary>The cell that is the drawing.</summary>
    public Cell Top { get; }

    /// <summary>Points of the flat drawing, as far as a count can tell; can be as large as 1e300.</summary>
    public double PointCount => findings[Top].Points;

    /// <summary>Copies of cells that the flat drawing needs, as far as a count can tell.</summary>
    public double CopyCount => findings[Top].Copies;

    /// <summary>Copies that lie on others of the same cell that places them; each is counted once, however often that cell is placed.</summary>
    public double RepeatedCopies { get; private set; }

    /// <summary>The first placement of which copies repeat others, and the cell that it is in.</summary>
    public (Cell Cell, Instance Instance)? FirstRepeated { get; private set; }

    /// <summary>The cell of a name.</summary>
    public Cell Find(string name) => cells[name];

    /// <summary>True if the cell draws anything on the chosen layers, itself or through others.</summary>
    public bool DrawsAnything(string name) => findings[cells[name]].Points > 0;

    /// <summary>Cells that the drawing uses, each behind those it places.</summary>
    public IEnumerable<Cell> UsedCells => findings.Keys;

    /// <summary>The placements of a cell, without repeats.</summary>
    public ImmutableArray<Instance> PlacementsOf(Cell cell) => findings[cell].Placements;

    /// <summary>Name of a shape's layer.</summary>
    public string LayerName(Shape shape) => census.LayerName(shape);

    /// <summary>Fails if the flat drawing has more copies or points than allowed.</summary>
    public void Require(WorkLimits limits)
    {
        string? where = largestArray is (Cell cell, Instance instance)
            ? $"check the largest array: cell '{cell.Name}' places '{instance.CellName}' {instance.Repetition.Columns} x {instance.Repetition.Rows} times"
            : null;
        limits.Meter(WorkKind.Vertices, (long)pointsDrawn).Require(PointCount, where);
        limits.Meter(WorkKind.Copies, (long)placementsDrawn).Require(CopyCount, where);
    }

    private void Visit()
    {
        var path = new List<(Cell Cell, int Next)> { (Top, 0) };
        var isOnPath = new HashSet<Cell>(ReferenceEqualityComparer.Instance) { Top };
        while (path.Count > 0)
        {
            (Cell cell, int next) = path[^1];
            if (next == cell.Instances.Length)
            {
                path.RemoveAt(path.Count - 1);
                isOnPath.Remove(cell);
                findings.Add(cell, SumUp(cell));
                continue;
            }

            path[^1] = (cell, next + 1);
            Instance instance = cell.Instances[next];
            if (!cells.TryGetValue(instance.CellName, out Cell? placed))
            {
                throw new CompileException(HierarchyCodes.MissingCell, $"cell '{cell.Name}' places '{instance.CellName}', which does not exist");
            }

            if (isOnPath.Contains(placed))
            {
                throw new CompileException(
                    HierarchyCodes.CellCycle,
                    placed == cell ? $"cell '{cell.Name}' places itself" : $"cell '{placed.Name}' contains itself through '{cell.Name}'",
                    fix: "remove one of these placements");
            }

            if (!findings.ContainsKey(placed))
            {
                Push(path, placed);
                isOnPath.Add(placed);
            }
        }
    }

    private static void Push(List<(Cell Cell, int Next)> path, Cell placed)
    {
        if (path.Count == DeepestNest)
        {
            throw TooDeep(placed);
        }

        path.Add((placed, 0));
    }

    private Findings SumUp(Cell cell)
    {
        (double points, int drawn) = census.PointsOf(cell);
        double copiesBelow = 0;
        int depth = 1;
        var distinct = DistinctPlacements.Of(cell);
        RepeatedCopies += distinct.Repeated;
        FirstRepeated ??= distinct.First is Instance repeated ? (cell, repeated) : null;
        pointsDrawn += drawn;
        placementsDrawn += cell.Instances.Length;
        foreach (Instance instance in distinct.Instances)
        {
            Findings inner = findings[cells[instance.CellName]];
            Repetition repetition = instance.Repetition;
            double copies = (double)repetition.Columns * repetition.Rows;
            points += copies * inner.Points;
            copiesBelow += inner.Points > 0 ? copies * (1 + inner.Copies) : 0;
            depth = Math.Max(depth, inner.Depth + 1);
            if (inner.Points > 0 && copies > 1
                && (largestArray is null || copies > (double)largestArray.Value.Instance.Repetition.Columns * largestArray.Value.Instance.Repetition.Rows))
            {
                largestArray = (cell, instance);
            }
        }

        return depth <= DeepestNest ? new Findings(points, copiesBelow, depth, distinct.Instances) : throw TooDeep(cell);
    }

    private static CompileException TooDeep(Cell cell) => new(
        HierarchyCodes.TooDeep,
        $"cells nest more than {DeepestNest} deep, at cell '{cell.Name}'",
        fix: "draw with fewer levels");

    private readonly record struct Findings(double Points, double Copies, int Depth, ImmutableArray<Instance> Placements);
}
