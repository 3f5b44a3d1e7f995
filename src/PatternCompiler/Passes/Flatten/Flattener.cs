using System.Collections.Immutable;
using System.Runtime.InteropServices;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Flatten;

/// <summary>Walks the cells from the top down and writes every copy's shapes into the groups.</summary>
internal sealed class Flattener(HierarchySurvey survey, ShapeCensus census, PlaceTable places, long gridPicometres, double chordError, WorkLimits limits, CancellationToken cancellation)
{
    private readonly Dictionary<string, PreparedCell> prepared = new(StringComparer.Ordinal);
    private readonly Dictionary<(int Layer, DoseFactor Dose), GroupBuilder> groups = [];
    private readonly List<string> path = [];
    private readonly List<Instance> placed = [];
    private readonly List<GridPoint> mapped = [];

    /// <summary>Shapes that lie on others of their cell.</summary>
    public long RepeatedShapes { get; private set; }

    /// <summary>The first of them, and its cell.</summary>
    public (Cell Cell, Shape Shape)? FirstRepeated { get; private set; }

    /// <summary>Outlines of copies that enclose nothing any more on the grid.</summary>
    public long Vanished { get; private set; }

    /// <summary>Layer and cell of the first of them.</summary>
    public (int Layer, string Cell)? FirstVanished { get; private set; }

    /// <summary>Where the copy was placed of which it is.</summary>
    public PlaceId FirstVanishedIn { get; private set; }

    /// <summary>The groups, ordered by layer, then by dose factor.</summary>
    public ImmutableArray<FlatLayer> Run()
    {
        try
        {
            Visit(survey.Top, Affine.Identity, DoseFactor.One);
        }
        catch (BeyondGridException cause)
        {
            string reach = LengthText.Micrometres(GridPoint.Limit, gridPicometres);
            throw new CompileException(
                new Diagnostic(
                    HierarchyCodes.BeyondGrid,
                    Severity.Error,
                    $"a shape of cell '{path[^1]}' lies beyond the grid of {LengthText.Nanometres(gridPicometres)}, which reaches \u00B1{reach} um",
                    PlaceOfPath(),
                    "check where it is placed, or choose a coarser grid"),
                cause);
        }

        return [.. groups.Values.OrderBy(group => group.Layer).ThenBy(group => group.DoseFactor).Select(group => group.Build())];
    }

    // The innermost placement, and the cells that lead there.
    private SourcePlace PlaceOfPath()
    {
        string? cells = path.Count > 1 ? string.Join(" > ", path) : null;
        return placed.Count > 0 && places.Find(placed[^1].Place) is SourcePlace found ? found with { Entity = $"{found.Entity}, {cells}" } : new SourcePlace(null, Entity: cells);
    }

    private void Visit(Cell cell, Affine map, DoseFactor dose)
    {
        path.Add(cell.Name);
        cancellation.ThrowIfCancellationRequested();
        foreach (PreparedGroup group in Prepare(cell).Groups)
        {
            Add(group, map, dose * group.DoseFactor);
        }

        foreach (Instance instance in survey.PlacementsOf(cell))
        {
            if (survey.DrawsAnything(instance.CellName))
            {
                VisitCopies(cell, instance, map, dose);
            }
        }

        path.RemoveAt(path.Count - 1);
    }

    private void VisitCopies(Cell cell, Instance instance, Affine map, DoseFactor dose)
    {
        Repetition repetition = instance.Repetition;
        Cell child = survey.Find(instance.CellName);
        placed.Add(instance);
        for (int row = 0; row < repetition.Rows; row++)
        {
            for (int column = 0; column < repetition.Columns; column++)
            {
                long factor = instance.DoseFactor.Millionths
                    + ((long)column * repetition.ColumnDoseStepMillionths)
                    + ((long)row * repetition.RowDoseStepMillionths);
                if (factor is < 0 or > 2_000_000_000)
                {
                    throw new CompileException(
                        HierarchyCodes.DoseBeyondRange,
                        $"in cell '{cell.Name}', the array of '{instance.CellName}' has a dose factor of {factor / 1_000_000m} at column {column + 1}, row {row + 1}",
                        places.Find(instance.Place) ?? default,
                        "dose factors lie between 0 and 2000: choose a smaller dose step or fewer copies");
                }

                Visit(child, map.After(CopyPlacement.Of(instance, column, row)), dose * new DoseFactor((int)factor));
            }
        }

        placed.RemoveAt(placed.Count - 1);
    }

    private PreparedCell Prepare(Cell cell)
    {
        if (!prepared.TryGetValue(cell.Name, out PreparedCell? result))
        {
            result = CellPreparation.Prepare(cell, census, chordError, limits.At($"cell '{cell.Name}'"), cancellation);
            RepeatedShapes += result.Repeated;
            FirstRepeated ??= result.FirstRepeated is Shape shape ? (cell, shape) : null;
            if (cell != survey.Top)
            {
                prepared.Add(cell.Name, result);
            }
        }

        return result;
    }

    private void Add(PreparedGroup source, Affine map, DoseFactor dose)
    {
        if (!groups.TryGetValue((source.Layer, dose), out GroupBuilder? group))
        {
            group = new GroupBuilder(source.Layer, dose, groups.Count);
            groups.Add((source.Layer, dose), group);
        }

        if (map == Affine.Identity)
        {
            group.AddAll(source.Straight);
            group.AddAll(source.Curved);
            group.Lines.AddRange(source.Lines);
            group.Dots.AddRange(source.Dots);
            return;
        }

        AddRings(group, source.Straight, map);
        if (map.IsExact)
        {
            AddRings(group, source.Curved, map);
        }
        else
        {
            foreach (Shape shape in source.CurvedShapes)
            {
                var image = new ContourSetBuilder();
                CurveOutlines.AddMapped(image, shape, map, chordError);
                ContourSet rings = image.ToContourSet();
                NoteVanished(ExactArea.Twice(rings) == 0, group.Layer);
                group.Area.AddAll(rings);
            }
        }

        foreach (ImmutableArray<GridPoint> line in source.Lines)
        {
            group.Lines.Add([.. line.Select(point => MapToGrid(map, point))]);
        }

        foreach (GridPoint dot in source.Dots)
        {
            group.Dots.Add(MapToGrid(map, dot));
        }
    }

    private void AddRings(GroupBuilder group, ContourSet rings, Affine map)
    {
        bool isMirrored = map.IsMirrored;
        for (int i = 0; i < rings.Count; i++)
        {
            ReadOnlySpan<GridPoint> ring = rings[i];
            mapped.Clear();
            for (int j = 0; j < ring.Length; j++)
            {
                mapped.Add(MapToGrid(map, ring[isMirrored ? ring.Length - 1 - j : j]));
            }

            Span<GridPoint> image = CollectionsMarshal.AsSpan(mapped);
            if (!map.IsExact)
            {
                // Holes run the other way; one that closes exposes no less.
                NoteVanished(ExactArea.Twice(image) == 0 && ExactArea.Twice(ring) > 0, group.Layer);
            }

            group.Area.AddRing(image);
        }
    }

    private void NoteVanished(bool isVanished, int layer)
    {
        if (isVanished && Vanished++ == 0)
        {
            (FirstVanished, FirstVanishedIn) = ((layer, path[^1]), placed.Count > 0 ? placed[^1].Place : default);
        }
    }

    private static GridPoint MapToGrid(Affine map, GridPoint point)
    {
        PlanePoint image = map.Map(point);
        return image.FitsGrid ? image.ToGrid() : throw new BeyondGridException();
    }
}

/// <summary>A point of a placed shape lies beyond the grid; the caller, who knows the placement, says which.</summary>
internal sealed class BeyondGridException : Exception;
