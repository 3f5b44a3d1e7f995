using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Boolean;

/// <summary>
/// Combines the areas of layers, or merges each layer by itself. Dose factors survive: a place of the result keeps the
/// factor it has in the operand that it comes from (the first one where both cover it).
/// </summary>
internal static class BooleanPass
{
    /// <summary>Name of the only cell of the result.</summary>
    public const string CellName = "merged";

    /// <summary>Runs the pass.</summary>
    /// <exception cref="CompileException">An operation names an unknown layer.</exception>
    public static LayoutDocument Run(
        FlatLayout input,
        BooleanOptions options,
        DiagnosticSink sink,
        CancellationToken cancellation)
    {
        var layers = new LayerTable(input, options.Limits, cancellation);
        var results = new HashSet<int>();
        var taking = new HashSet<int>();
        foreach (LayerOperation operation in options.Operations)
        {
            int first = operation.Frame is null ? layers.Find(operation.First) : -1;
            int second = layers.Find(operation.Second);
            int result = layers.FindOrAdd(operation.Result);
            taking.UnionWith([first, second, result]);
            IReadOnlyList<DosedArea> firstAreas =
                operation.Frame is GridBox frame ? [new DosedArea(DoseFactor.One, frame.ToContourSet())] : layers.Areas(first);
            layers.Set(result, Combine(operation.Operation, firstAreas, layers.Areas(second), options.Limits, cancellation));
            results.Add(result);
        }

        bool keepAll = options.Operations.IsEmpty || options.KeepOtherLayers;
        WarnOfLines(
            input,
            taking.Where(layer => !keepAll || results.Contains(layer) || (!options.Written.IsEmpty && !options.Written.Contains(layers.Names[Math.Max(0, layer)]))),
            sink);
        var shapes = ImmutableArray.CreateBuilder<Shape>();
        for (int layer = 0; layer < layers.Names.Count; layer++)
        {
            if (!keepAll && !results.Contains(layer))
            {
                continue;
            }

            foreach (DosedArea area in layers.Areas(layer))
            {
                if (area.Region.Count > 0)
                {
                    shapes.Add(new PolygonShape(layer, area.DoseFactor, area.Region, FillRule.NonZero));
                }
            }

            if (!results.Contains(layer))
            {
                AddLinesAndDots(input, layer, shapes);
            }
        }

        var cell = new Cell(CellName, shapes.ToImmutable(), []);
        return new LayoutDocument(input.GridPicometres, [.. layers.Names], [cell], CellName);
    }

    private static List<DosedArea> Combine(
        BooleanOperation operation,
        IReadOnlyList<DosedArea> first,
        IReadOnlyList<DosedArea> second,
        WorkLimits limits,
        CancellationToken cancellation)
    {
        ContourSet allFirst = Unite(first, limits, cancellation);
        ContourSet allSecond = Unite(second, limits, cancellation);
        var byDose = new OrderedDictionary<DoseFactor, ContourSet>();
        BooleanOperation ofFirst = operation switch
        {
            BooleanOperation.Union => BooleanOperation.Union,
            BooleanOperation.Intersection => BooleanOperation.Intersection,
            _ => BooleanOperation.Difference,
        };
        foreach (DosedArea area in first)
        {
            ContourSet other = ofFirst == BooleanOperation.Union ? ContourSet.Empty : allSecond;
            Put(area.DoseFactor, RegionBoolean.Compute(area.Region, other, ofFirst, cancellation: cancellation, limits: limits));
        }

        if (operation is BooleanOperation.Union or BooleanOperation.SymmetricDifference)
        {
            foreach (DosedArea area in second)
            {
                Put(area.DoseFactor, RegionBoolean.Compute(area.Region, allFirst, BooleanOperation.Difference, cancellation: cancellation, limits: limits));
            }
        }

        return [.. byDose.Select(entry => new DosedArea(entry.Key, entry.Value))];

        void Put(DoseFactor dose, ContourSet region) =>
            byDose[dose] = byDose.TryGetValue(dose, out ContourSet? present)
                ? RegionBoolean.Compute(present, region, BooleanOperation.Union, cancellation: cancellation, limits: limits)
                : region;
    }

    private static ContourSet Unite(IReadOnlyList<DosedArea> areas, WorkLimits limits, CancellationToken cancellation)
    {
        if (areas.Count == 1)
        {
            return areas[0].Region;
        }

        var all = new ContourSetBuilder();
        foreach (DosedArea area in areas)
        {
            all.AddAll(area.Region);
        }

        return RegionBoolean.Merge(all.ToContourSet(), cancellation: cancellation, limits: limits);
    }

    private static void AddLinesAndDots(FlatLayout input, int layer, ImmutableArray<Shape>.Builder shapes)
    {
        foreach (FlatLayer group in input.Groups)
        {
            if (group.Layer == layer)
            {
                foreach (ImmutableArray<GridPoint> line in group.Lines)
                {
                    shapes.Add(new LineShape(layer, group.DoseFactor, line));
                }

                foreach (GridPoint dot in group.Dots)
                {
                    shapes.Add(new DotShape(layer, group.DoseFactor, dot));
                }
            }
        }
    }

    /// <summary>Lines and dots stay on their layer where it stays as it is.</summary>
    private static void WarnOfLines(FlatLayout input, IEnumerable<int> left, DiagnosticSink sink)
    {
        int[] layers = [.. left];
        int count = input.Groups.Where(group => layers.Contains(group.Layer)).Sum(group => group.Lines.Length + group.Dots.Length);
        if (count > 0)
        {
            sink.Warn(
                BooleanCodes.LinesLeftOut,
                $"{CountText.Of(count, "line without width or dot on the layers of an operation has no area and takes", "lines without width and dots on the layers of an operation have no area and take")} no part in it",
                fix: "give the lines a width, or keep them on a layer of their own");
        }
    }
}
