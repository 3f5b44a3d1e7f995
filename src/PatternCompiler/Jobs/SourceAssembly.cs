using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Lays the drawings of a job over each other: chosen layers only, each drawing turned and moved as the job says.</summary>
internal static class SourceAssembly
{
    /// <summary>
    /// One layout from several. A single drawing that is taken whole and as it stands comes back unchanged. Layers of
    /// one name (behind the drawing's prefix) become one layer; a cell whose name another drawing uses gets the drawing's number behind it.
    /// </summary>
    /// <param name="drawings">The drawings with their placement. The result's grid holds the points of all their grids.</param>
    /// <exception cref="CompileException">A chosen layer does not exist, or an offset is beyond the largest coordinate.</exception>
    public static LayoutDocument Run(IReadOnlyList<(LayoutDocument Layout, JobSource Source)> drawings)
    {
        foreach ((LayoutDocument layout, JobSource source) in drawings)
        {
            foreach (string layer in source.Reading.Layers)
            {
                RequireLayer(layer, layout.Layers, source.Path);
            }
        }

        if (drawings is [(_, JobSource only)] && only.Reading.Layers.IsEmpty && only.Placement == SourcePlacement.AsDrawn)
        {
            return drawings[0].Layout;
        }

        ImmutableArray<string> layers = [.. drawings
            .SelectMany(drawing => drawing.Layout.Layers.Where(layer => IsTaken(layer, drawing.Source)).Select(layer => drawing.Source.Placement.LayerPrefix + layer))
            .Distinct(StringComparer.Ordinal)];
        long grid = GridRefinement.CommonGrid(drawings.Select(drawing => drawing.Layout.GridPicometres));
        var cells = ImmutableArray.CreateBuilder<Cell>();
        var places = new PlaceTable();
        var tops = ImmutableArray.CreateBuilder<Instance>();
        HashSet<string> names = new(StringComparer.Ordinal);
        for (int i = 0; i < drawings.Count; i++)
        {
            JobSource source = drawings[i].Source;
            LayoutDocument layout = GridRefinement.Run(drawings[i].Layout, grid, source.Path);
            Dictionary<string, string> renamed = [];
            foreach (Cell cell in layout.Cells)
            {
                renamed[cell.Name] = UniqueName(cell.Name, i + 1, names);
                cells.Add(Take(cell, layout, source, layers, renamed, places));
            }

            tops.Add(new Instance(renamed[layout.TopCell], OriginOf(source, layout), new Orientation(source.Placement.RotationDegrees, 1, 1), Repetition.Once, DoseFactor.One));
        }

        string top = UniqueName("job", 1, names);
        cells.Add(new Cell(top, [], tops.ToImmutable()));
        return new LayoutDocument(grid, layers, cells.ToImmutable(), top) { Places = places };
    }

    /// <summary>The layout with its top cell placed elsewhere.</summary>
    public static LayoutDocument Moved(LayoutDocument layout, GridPoint by)
    {
        if (by == default)
        {
            return layout;
        }

        string top = UniqueName("placed", 1, [.. layout.Cells.Select(cell => cell.Name)]);
        var placed = new Instance(layout.TopCell, by, Orientation.Identity, Repetition.Once, DoseFactor.One);
        return layout with { Cells = layout.Cells.Add(new Cell(top, [], [placed])), TopCell = top };
    }

    /// <summary>Throws if the job has settings for a layer that the layout does not have.</summary>
    public static void RequireLayers(Job job, LayoutDocument layout)
    {
        // Marks that are made later have a layer that no drawing knows.
        string? made = job.Fields?.Options.Marks is { Places.IsEmpty: false } marks ? marks.Layer : null;
        foreach (LayerSettings settings in job.Layers.Where(settings => settings.Layer != made))
        {
            RequireLayer(settings.Layer, layout.Layers, job.Sources is [JobSource only] ? only.Path : null);
        }
    }

    private static Cell Take(
        Cell cell,
        LayoutDocument layout,
        JobSource source,
        ImmutableArray<string> layers,
        Dictionary<string, string> renamed,
        PlaceTable places)
    {
        var shapes = ImmutableArray.CreateBuilder<Shape>();
        foreach (Shape shape in cell.Shapes)
        {
            string layer = layout.Layers[shape.Layer];
            if (IsTaken(layer, source))
            {
                shapes.Add(shape with { Layer = layers.IndexOf(source.Placement.LayerPrefix + layer), Place = places.Adopt(layout.Places, shape.Place) });
            }
        }

        return new Cell(
            renamed[cell.Name],
            shapes.ToImmutable(),
            [.. cell.Instances.Select(instance => instance with { CellName = renamed[instance.CellName], Place = places.Adopt(layout.Places, instance.Place) })]);
    }

    private static GridPoint OriginOf(JobSource source, LayoutDocument layout)
    {
        double x = Math.Round(source.Placement.OffsetXNanometres * 1000 / layout.GridPicometres, MidpointRounding.AwayFromZero);
        double y = Math.Round(source.Placement.OffsetYNanometres * 1000 / layout.GridPicometres, MidpointRounding.AwayFromZero);
        return Math.Abs(x) <= GridPoint.Limit && Math.Abs(y) <= GridPoint.Limit
            ? new GridPoint((int)x, (int)y)
            : throw new CompileException(
                JobCodes.ValueOutOfRange,
                $"the offset of '{source.Path}' is beyond the largest coordinate, {QuantityText.Format(GridPoint.Limit * (layout.GridPicometres * 1e-12), Dimension.Length)}",
                default,
                "choose a coarser grid or a smaller offset");
    }

    private static bool IsTaken(string layer, JobSource source) => source.Reading.Layers.IsEmpty || source.Reading.Layers.Contains(layer);

    private static void RequireLayer(string layer, ImmutableArray<string> layers, string? file)
    {
        if (!layers.Contains(layer))
        {
            throw UnknownLayer(layer, layers, file);
        }
    }

    private static string UniqueName(string name, int number, HashSet<string> names)
    {
        if (names.Add(name))
        {
            return name;
        }

        string candidate = $"{name}.{number}";
        while (!names.Add(candidate))
        {
            candidate = $"{name}.{++number}";
        }

        return candidate;
    }

    /// <summary>The error about a layer that does not exist.</summary>
    internal static CompileException UnknownLayer(string layer, ImmutableArray<string> layers, string? file)
    {
        string? nearest = NearestWord.Find(layer, layers);
        return new CompileException(
            JobCodes.UnknownLayer,
            $"the job asks for layer '{layer}', but there is none of this name",
            new SourcePlace(file),
            nearest is not null ? $"did you mean '{nearest}'?"
                : layers.IsEmpty ? "the drawing has no layers"
                : $"there are {string.Join(", ", layers.Select(name => $"'{name}'"))}");
    }
}
